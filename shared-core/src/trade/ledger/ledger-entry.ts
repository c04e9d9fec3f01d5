/*
 * What is written into a bath's ledger: one shape for each kind of entry, as it is asked for and as it is kept. The contract between page and dashboard; no
 * behaviour. An entry is never changed: what was wrong is undone by another entry, with a reason, and stays to be read.
 */
import type { GoodInStock } from './stock.js';
import type { BoughtAcid } from './bought-acid.js';
import type { Composition, Analyte } from './analytes.js';
import type { CareAsked, CareBody } from './care-entries.js';
import type { MakeUp } from './make-up.js';
import type { Titration } from './titration.js';

/** What is added to a bath. Solids by the gram, liquids by the millilitre. */
export const additives = {
  'copper-sulphate': { name: 'copper sulphate CuSO4·5H2O', unit: 'g' },
  'sulphuric-acid': { name: 'sulphuric acid', unit: 'mL' },
  'sodium-chloride': { name: 'sodium chloride NaCl', unit: 'g' },
  'hydrochloric-acid': { name: 'hydrochloric acid', unit: 'mL' },
  brightener: { name: 'brightener', unit: 'mL' },
  water: { name: 'water', unit: 'mL' },
  'other-solid': { name: 'another solid', unit: 'g' },
  'other-liquid': { name: 'another liquid', unit: 'mL' },
} as const;
export type Additive = keyof typeof additives;

/** How a concentration was found. */
export type AnalysisMethod = 'direct' | 'edta' | 'thiosulphate' | 'sodium-hydroxide' | 'silver-nitrate';

export interface MadeUpAsked {
  readonly kind: 'made-up';
  readonly litres: number;
  readonly composition: Composition;
  /** Ready-made: bought as a solution of that composition, so that nothing was weighed. */
  readonly from: 'chemicals' | 'ready-made';
  readonly saltPurityShare: number;
  readonly acid: BoughtAcid;
  readonly hydrochloric?: BoughtAcid | undefined;
  readonly brightenerMillilitresPerLitre?: number | undefined;
}

export interface AdditionAsked {
  readonly kind: 'addition';
  readonly of: Additive;
  /** In the unit of the additive. */
  readonly amount: number;
  /** What it is, of "another" solid or liquid. */
  readonly name?: string | undefined;
  /** Of salt; absent: 1. */
  readonly purityShare?: number | undefined;
  /** Of an acid, as its bottle says. */
  readonly acid?: BoughtAcid | undefined;
}

/** The volume as it was read at the tank's marks. */
export interface LevelAsked {
  readonly kind: 'level';
  readonly litres: number;
}

export interface AnalysisAsked {
  readonly kind: 'analysis';
  readonly analyte: Analyte;
  readonly how: AnalysisMethod;
  /** Direct: in the analyte's unit, or as grams of copper metal in a litre. */
  readonly value?: number | undefined;
  readonly isCopperMetal?: boolean | undefined;
  /** Of every other method. */
  readonly titration?: Titration | undefined;
}

/** From then on the bath stands under this controller: the runs that it starts count as this bath's. */
export interface PutOnAsked {
  readonly kind: 'put-on';
  readonly controllerId: string;
}

/** From then on no controller's runs count. */
export interface TakenOffAsked {
  readonly kind: 'taken-off';
}

/** How much brightener the charge uses up, as somebody said who knows: there is no usual rate. */
export interface BrightenerRateAsked {
  readonly kind: 'brightener-rate';
  readonly litresPerKiloampereHour: number;
  /** What is dosed at once: a reminder stands there when as much is used up. */
  readonly doseMillilitres: number;
  /** Whose rate it is: a sheet, a supplier, a Hull cell. */
  readonly source: string;
}

/** Whatever has no shape of its own; the words stand in the entry's note. */
export interface NoteAsked {
  readonly kind: 'note';
}

/** What is kept as it was asked. */
type PlainAsked = LevelAsked | PutOnAsked | TakenOffAsked | BrightenerRateAsked | NoteAsked;
export type EntryAsked = MadeUpAsked | AdditionAsked | AnalysisAsked | PlainAsked | CareAsked;

export interface MadeUpBody extends MadeUpAsked {
  /** What was weighed and measured; null of a ready-made solution. */
  readonly amounts: MakeUp | null;
}
export interface AdditionBody extends AdditionAsked {
  /** What it brought of an analyte: grams of salt or acid, milligrams of chloride. null: of none. */
  readonly brought: { readonly analyte: Analyte; readonly amount: number } | null;
}
export interface AnalysisBody extends AnalysisAsked {
  /** In the analyte's unit: grams of salt or acid, milligrams of chloride in a litre. */
  readonly concentration: number;
}
export type EntryBody = MadeUpBody | AdditionBody | AnalysisBody | PlainAsked | CareBody;
export type EntryKind = EntryBody['kind'];

export interface LedgerEntry {
  readonly entryId: number;
  /** When it was done, as somebody said. */
  readonly atMs: number;
  readonly writtenAtMs: number;
  readonly who: string;
  readonly note: string;
  readonly body: EntryBody;
  readonly undone: Undone | null;
}

export interface Undone {
  readonly atMs: number;
  readonly who: string;
  readonly reason: string;
}

/** A bath that has a ledger. */
export interface LedgerBath {
  readonly bathId: number;
  readonly name: string;
  /** Key of its profile. */
  readonly profile: string;
  /** It belongs to the virtual bath, and nobody ever dosed it. */
  readonly isSimulated: boolean;
  readonly writtenAtMs: number;
  readonly who: string;
}

/** GET /api/baths/:bathId. Entries newest first. */
export interface BathLedger {
  readonly bath: LedgerBath;
  readonly entries: readonly LedgerEntry[];
  readonly worked: Worked;
  /** Of what it takes from the stock. */
  readonly lowGoods: readonly GoodInStock[];
}

/** Charge of the runs that were this bath's, in whole millicoulombs. */
export interface Worked {
  /** On which it stands now; null: on none. */
  readonly controllerId: string | null;
  /** Under which it was put although only one of the two is simulated: those runs do not count. null: under none. */
  readonly uncountedControllerId: string | null;
  readonly millicoulombs: number;
  /** Since brightener was dosed last, else since the bath was made up, else all of it. */
  readonly sinceDoseMillicoulombs: number;
  readonly dosedAtMs: number | null;
  /** What had gone through when each entry was done that counts, by its number. */
  readonly atEntries: Readonly<Record<number, number>>;
}

/** One of GET /api/controllers/:id/ledger-reminders: what the bath under a controller wants. */
export interface LedgerReminder {
  /** null: it is about the stock. */
  readonly bathId: number | null;
  readonly words: string;
}

/** POST /api/baths. */
export interface NewBathRequest {
  readonly name: string;
  readonly profile: string;
  readonly who: string;
}

/** POST /api/baths/:bathId/entries. */
export interface NewEntryRequest {
  /** Absent: now. */
  readonly atMs?: number | undefined;
  readonly who: string;
  readonly note?: string | undefined;
  readonly body: EntryAsked;
  /** Whoever writes it has read what is doubtful (`entryQuestions`), and it is right all the same. */
  readonly isConfirmed?: boolean | undefined;
}

/** POST /api/baths/:bathId/entries/:entryId/undo. */
export interface UndoRequest {
  readonly who: string;
  readonly reason: string;
}
