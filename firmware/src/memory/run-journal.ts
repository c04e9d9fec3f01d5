/*
 * The run that a power cut must not make us forget, in the columns of the kept row: phase, run, charge, live time, recipe. Noted by the keeper at
 * each change of phase, charge and live time each second of a live run; read once at boot. Decides nothing about going on.
 */
import type { Phase, Recipe, RunJournal } from '@bathkeeper/shared-core/control';
import { RecordColumn } from '@bathkeeper/shared-core/messages';
import type { ChainRow } from './chain.js';
import { KeptColumn } from './kept-row.js';
import { chargeOf } from './record-row.js';
import { recipeOfRow } from './recipe-row.js';

/**
 * What was kept before this boot; of a memory that was just wiped: idle, run 0. The row is written less often than records are: where the `newest`
 * of them is of the same run, it knows the charge to the second.
 * @onceAtBoot
 */
export function keptJournal(row: Float64Array, newest: ChainRow | undefined): RunJournal {
  let charge = row[KeptColumn.charge]!;
  if (newest && newest[RecordColumn.run] === row[KeptColumn.run]) charge = Math.max(charge, chargeOf(newest));
  return {
    phase: row[KeptColumn.phase] as Phase,
    runNumber: row[KeptColumn.run]!,
    runIsOpen: row[KeptColumn.runIsOpen] === 1,
    chargeMilliCoulombs: charge,
    liveMs: row[KeptColumn.liveMs]!,
    recipe: row[KeptColumn.recipe] ? recipeOfRow(row.slice(KeptColumn.recipe)) : undefined,
  };
}

/** What changes within a phase. */
export function noteProgress(row: Float64Array, journal: RunJournal): void {
  row[KeptColumn.charge] = journal.chargeMilliCoulombs;
  row[KeptColumn.liveMs] = journal.liveMs;
}

export function noteJournal(row: Float64Array, journal: RunJournal): void {
  row[KeptColumn.phase] = journal.phase;
  row[KeptColumn.run] = journal.runNumber;
  row[KeptColumn.runIsOpen] = journal.runIsOpen ? 1 : 0;
  noteProgress(row, journal);
  let column: number = KeptColumn.recipe;
  row[column] = 0;
  // A recipe's fields stand in the order of its columns, since only recipeOfRow makes recipes here.
  if (journal.recipe) for (const field in journal.recipe) row[column++] = journal.recipe[field as keyof Recipe];
}
