/*
 * What the entries of a ledger come to: volume, what is in the bath, what was lost. Called by the bath's page and by the server for what is due. It reads entries in
 * the order in which things were done, leaves out what was undone, and estimates only between two readings: the newest analysis or level always counts.
 */
import { type Composition, type Analyte, analyteKeys } from './analytes.js';
import { additives, type AdditionBody, type LedgerEntry, type MadeUpBody } from './ledger-entry.js';

/** Of one analyte: the newest finding, and what it comes to with everything added since. */
export interface Held {
  readonly atMs: number;
  readonly from: 'make-up' | 'analysis';
  /** As found. */
  readonly found: number;
  /** With additions and the volume since. */
  readonly estimated: number;
  /** Something was added or taken out since, so that the estimate is no finding. */
  readonly isChangedSince: boolean;
}

/** Water that went between two levels, also what hangs on parts that were taken out. */
export interface Loss {
  readonly fromMs: number;
  readonly toMs: number;
  readonly litres: number;
  /** What it is counted from: a made-up volume is a recipe's figure, and no level that was read. */
  readonly from: 'make-up' | 'level';
}

export interface BathAccount {
  /** null: not made up yet. */
  readonly madeUp: MadeUpBody | null;
  readonly madeUpAtMs: number | null;
  /** As it was read or made up last, with the liquids added since. */
  readonly litres: number | null;
  readonly litresAtMs: number | null;
  /** Where `litres` comes from; null: not known. */
  readonly litresFrom: 'make-up' | 'level' | null;
  readonly held: Readonly<Partial<Record<Analyte, Held>>>;
  readonly losses: readonly Loss[];
}

interface Finding {
  atMs: number;
  from: Held['from'];
  found: number;
  /** Grams, of chloride milligrams, in the whole bath. */
  mass: number;
  isChangedSince: boolean;
}

export function bathAccount(entries: readonly LedgerEntry[]): BathAccount {
  let madeUp: MadeUpBody | null = null;
  let madeUpAtMs: number | null = null;
  let litres: number | null = null;
  let litresAtMs: number | null = null;
  let litresFrom: BathAccount['litresFrom'] = null;
  const findings = new Map<Analyte, Finding>();
  const losses: Loss[] = [];

  for (const { atMs, body } of inOrder(entries)) {
    switch (body.kind) {
      case 'made-up':
        madeUp = body;
        madeUpAtMs = litresAtMs = atMs;
        litresFrom = 'make-up';
        litres = body.litres;
        for (const key of analyteKeys) {
          const found = body.composition[key];
          findings.set(key, { atMs, from: 'make-up', found, mass: found * litres, isChangedSince: false });
        }
        break;
      case 'level':
        if (litres !== null && litresAtMs !== null && litresFrom !== null && litres > body.litres)
          losses.push({ fromMs: litresAtMs, toMs: atMs, litres: litres - body.litres, from: litresFrom });
        litres = body.litres;
        litresAtMs = atMs;
        litresFrom = 'level';
        break;
      case 'addition':
        if (litres !== null) litres += addedLitres(body);
        bring(findings, body);
        break;
      case 'analysis':
        findings.set(body.analyte, {
          atMs,
          from: 'analysis',
          found: body.concentration,
          mass: body.concentration * (litres ?? 0),
          isChangedSince: false,
        });
        break;
      case 'waste-collected':
        if (body.what !== 'bath' || litres === null || litres <= 0) break;
        for (const finding of findings.values()) finding.mass *= Math.max(0, 1 - body.amount / litres);
        litres = Math.max(0, litres - body.amount);
        break;
      default:
        break;
    }
  }
  const held: Partial<Record<Analyte, Held>> = {};
  for (const [key, { mass, ...finding }] of findings)
    held[key] = { ...finding, estimated: litres !== null && litres > 0 ? mass / litres : finding.found };
  return { madeUp, madeUpAtMs, litres, litresAtMs, litresFrom, held, losses };
}

/** Everything that counts, in the order in which it was done. */
export function inOrder(entries: readonly LedgerEntry[]): LedgerEntry[] {
  return entries
    .filter(({ undone }) => undone === null)
    .sort((one, other) => one.atMs - other.atMs || one.entryId - other.entryId);
}

/** What a correction starts from; undefined where something was never found. */
export function estimatedComposition(account: BathAccount): Composition | undefined {
  const { 'copper-sulphate': sulphate, 'sulphuric-acid': acid, chloride } = account.held;
  if (sulphate === undefined || acid === undefined || chloride === undefined) return undefined;
  return {
    'copper-sulphate': sulphate.estimated,
    'sulphuric-acid': acid.estimated,
    chloride: chloride.estimated,
  };
}

/** A solid's own volume is left out: the next level says it. */
function addedLitres({ of, amount }: AdditionBody): number {
  return additives[of].unit === 'mL' ? amount / 1000 : 0;
}

function bring(findings: Map<Analyte, Finding>, { brought }: AdditionBody): void {
  const finding = brought === null ? undefined : findings.get(brought.analyte);
  if (brought === null || finding === undefined) return;
  finding.mass += brought.amount;
  finding.isChangedSince = true;
}
