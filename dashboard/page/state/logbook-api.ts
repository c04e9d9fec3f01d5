/* Asks the dashboard for runs of the logbook, as api.ts does for everything else. Called by the rooms of the logbook; keeps nothing. */
import type {
  CorrectRunNote,
  DeletedRun,
  MeasuredEfficiency,
  NewRunEntry,
  RunEntry,
  RunKey,
  RunListEntry,
  RunRecord,
  UndoRequest,
  UnitSystem,
} from '@bathkeeper/shared-core/trade';
import type { ImportedRun } from '@bathkeeper/shared-core/messages';
import { type Answer, ask, askForFile, askWithFile, type NamedFile } from './api.js';

export const runPath = ({ controllerId, incarnation, run }: RunKey): string =>
  `/api/runs/${encodeURIComponent(controllerId)}/${String(incarnation)}/${String(run)}`;

/** `beforeMs`: the start of the last one seen. */
export const askRuns = (beforeMs: number | undefined, count: number): Promise<Answer<RunListEntry[]>> =>
  ask('GET', `/api/runs?count=${String(count)}${beforeMs === undefined ? '' : `&before=${String(beforeMs)}`}`);
export const askRun = (key: RunKey): Promise<Answer<RunRecord>> => ask('GET', runPath(key));

const entries = (key: RunKey): string => `${runPath(key)}/entries`;
export const writeRunEntry = (key: RunKey, entry: NewRunEntry): Promise<Answer<RunEntry>> =>
  ask('POST', entries(key), entry);
export const undoRunEntry = (key: RunKey, entryId: number, request: UndoRequest): Promise<Answer<RunEntry>> =>
  ask('POST', `${entries(key)}/${String(entryId)}/undo`, request);
export const correctRunNote = (key: RunKey, entryId: number, request: CorrectRunNote): Promise<Answer<RunEntry>> =>
  ask('POST', `${entries(key)}/${String(entryId)}/correct`, request);

export interface NewPhotograph {
  readonly who: string;
  readonly note: string;
  /** Absent: now. */
  readonly atMs?: number;
  readonly bytes: Blob;
}
export const sendPhotograph = (key: RunKey, { bytes, ...told }: NewPhotograph): Promise<Answer<RunEntry>> => {
  const query = new URLSearchParams();
  for (const [name, value] of Object.entries(told)) if (value !== '') query.set(name, String(value));
  return askWithFile('POST', `${runPath(key)}/photographs?${query.toString()}`, bytes);
};
/** Where the picture itself is. */
export const photographAddress = (key: RunKey, entryId: number): string =>
  `${runPath(key)}/photographs/${String(entryId)}`;

export const deleteRun = (key: RunKey, who: string): Promise<Answer<unknown>> =>
  ask('POST', `${runPath(key)}/delete`, { who });
/** Newest deletion first. */
export const askDeletedRuns = (): Promise<Answer<DeletedRun[]>> => ask('GET', '/api/deleted-runs');
export const bringRunBack = (key: RunKey): Promise<Answer<unknown>> => ask('POST', `${runPath(key)}/bring-back`);

/** What weighed runs say of their baths. */
export const askMeasuredEfficiency = (): Promise<Answer<MeasuredEfficiency[]>> =>
  ask('GET', '/api/measured-efficiency');

export interface SheetWish {
  readonly paper: 'a4' | 'letter';
  readonly units: UnitSystem;
  readonly zone: string;
}
export const sheetAddress = (key: RunKey, format: 'pdf' | 'html', wish: SheetWish): string =>
  `${runPath(key)}/sheet.${format}?${new URLSearchParams({ ...wish }).toString()}`;

export type RunFileFormat = 'zip' | 'json' | 'parquet';
export const askRunFile = (key: RunKey, format: RunFileFormat): Promise<Answer<NamedFile>> =>
  askForFile(`${runPath(key)}/export.${format}`);
/** The answer of a file that cannot be taken says which line and why. */
export const importRun = (file: File, importedBy: string): Promise<Answer<ImportedRun>> =>
  askWithFile(
    'POST',
    `/api/run-imports?${new URLSearchParams({ fileName: file.name.slice(0, 200), importedBy }).toString()}`,
    file,
  );
