/*
 * A run that came from a file, as the page is told of it: under which name it stands in this store, and where it was made. Answered by the import; the name
 * `imported:…` is no controller's, so that it is never taken for a run that a controller of this store told.
 */

/** POST /api/run-imports?fileName=&importedBy= answers one; GET /api/run-imports all that are in the store, newest first. */
export interface ImportedRun {
  /** `imported:1`: of charts, record and export of this run. */
  readonly controllerId: string;
  readonly incarnation: number;
  readonly run: number;
  readonly startedAtMs: number;
  /** null: the file had no recipe. */
  readonly partName: string | null;
  readonly recordCount: number;
  readonly eventCount: number;
  readonly alarmCount: number;
  /** Notes, weighings and what is said of photographs. */
  readonly entryCount: number;
  readonly importedAtMs: number;
  readonly importedBy: string;
  readonly fileName: string;
  readonly original: { readonly controllerId: string; readonly bathName: string | null; readonly isSimulated: boolean };
}

/** A larger file is refused, here before it is sent. The largest of thirty days at one record a second is JSON, some 330 bytes for each, and of words some 100 MB more. */
export const RUN_FILE_BYTES_MAX = 1_000_000_000;

/** Example: "night.json has 1,200 MB. Expected one run, in a file of at most 1,000 MB." */
export function tooLargeWords(file: string, bytes: number): string {
  return `${file} has ${megabytes(bytes)} MB. Expected one run, in a file of at most ${megabytes(RUN_FILE_BYTES_MAX)} MB: export the run as ZIP or Parquet, which are a tenth of the size of JSON.`;
}

const megabytes = (bytes: number): string => Math.ceil(bytes / 1e6).toLocaleString('en-US');

/** Of every run from a file, and of no controller. */
export function isImported(controllerId: string): boolean {
  return controllerId.indexOf('imported:') === 0;
}
