/*
 * The run that a power cut must not make us forget, in the columns of the kept row: phase, run, charge, live time, recipe. Written by
 * the keeper each second of a live run and at each change of phase; read once at boot. Decides nothing about going on.
 */
import type { Phase, Recipe, RunJournal } from '@bathkeeper/shared-core/control';
import { KeptColumn } from './kept-row.js';
import { recipeOfRow } from './recipe-row.js';

/** The recipe's columns are kept in thousandths. */
const SCALE = 1000;

/** What was kept before this boot; of a memory that was just wiped: idle, run 0. */
export function keptJournal(row: Float64Array): RunJournal {
  return {
    phase: row[KeptColumn.phase] as Phase,
    runNumber: row[KeptColumn.run]!,
    runIsOpen: row[KeptColumn.runIsOpen] === 1,
    chargeMilliCoulombs: row[KeptColumn.charge]!,
    liveMs: row[KeptColumn.liveMs]!,
    recipe: row[KeptColumn.recipe]
      ? recipeOfRow(
          row.slice(KeptColumn.recipe).map(function (value: number): number {
            return value / SCALE;
          }),
        )
      : undefined,
  };
}

export function noteJournal(row: Float64Array, journal: RunJournal): void {
  row[KeptColumn.phase] = journal.phase;
  row[KeptColumn.run] = journal.runNumber;
  row[KeptColumn.runIsOpen] = journal.runIsOpen ? 1 : 0;
  row[KeptColumn.charge] = journal.chargeMilliCoulombs;
  row[KeptColumn.liveMs] = journal.liveMs;
  let column: number = KeptColumn.recipe;
  row[column] = 0;
  // A recipe's fields stand in the order of its columns, since only recipeOfRow makes recipes here.
  if (journal.recipe)
    for (const field in journal.recipe) row[column++] = Math.round(journal.recipe[field as keyof Recipe] * SCALE);
}
