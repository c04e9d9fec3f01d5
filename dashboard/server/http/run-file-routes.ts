/*
 * Runs as files: CSV, JSON and Parquet of one run, and a run from such a file. Mounted below /api, behind the door; what a file holds is the business of
 * the room export.
 */
import { createWriteStream, rmSync } from 'node:fs';
import { join } from 'node:path';
import { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { Router } from 'express';
import { z } from 'zod';
import { RUN_FILE_BYTES_MAX, tooLargeWords } from '@bathkeeper/shared-core/messages';
import type { Dashboard } from '../dashboard.js';
import { importedRuns, type KnownBefore } from '../export/imported-runs.js';
import { UnkeptRun } from '../export/imports.js';
import { BEGINNING_BYTES, readerFor } from '../export/read-run-file.js';
import { beyondFile } from '../export/run-bounds.js';
import { folderForSent } from '../export/sent-files.js';
import { type StoredRun, storedRun } from '../export/stored-run.js';
import { UnreadableRun } from '../export/unreadable-run.js';
import { writtenCsv } from '../export/written-csv.js';
import { writtenJson } from '../export/written-json.js';
import { writtenParquet } from '../export/written-parquet.js';
import { checked, Refused, refusedAsUnread } from './refusal.js';

/** The type under which a file is sent: no form of another site can send it without asking first. */
export const RUN_FILE_TYPE = 'application/octet-stream';

interface Format {
  readonly type: string;
  readonly written: (run: StoredRun) => AsyncIterable<Uint8Array | string>;
}
const formats: Readonly<Record<string, Format>> = {
  zip: { type: 'application/zip', written: writtenCsv },
  json: { type: 'application/json', written: writtenJson },
  parquet: { type: 'application/vnd.apache.parquet', written: writtenParquet },
};

const importRequest = z.strictObject({
  fileName: z.string('expected the name of the file').trim().min(1).max(200),
  importedBy: z.string('expected who imports it').trim().min(1).max(60),
});

export function runFileRoutes({ store, clock, imports, reading }: Dashboard): Router {
  const router = Router();
  router.get('/runs/:controllerId/:incarnation/:run/export.:format', async (request, response) => {
    const { controllerId, incarnation, run, format: ending } = request.params;
    const format = Object.hasOwn(formats, ending) ? formats[ending] : undefined;
    if (format === undefined)
      throw new Refused(
        404,
        `A run is exported as export.${Object.keys(formats).join(', export.')}; got export.${ending}.`,
      );
    const name = { controllerId, incarnation: Number(incarnation), run: Number(run) };
    const records = await reading.ask('recordPages', name).catch(refusedAsUnread);
    const found = storedRun(store, name, clock.nowMs(), records);
    if (found === undefined)
      throw new Refused(404, `Run ${run} of ${controllerId} is not in the logbook. Look at the list of runs again.`);
    if (!found.isWhole)
      throw new Refused(
        410,
        `The raw records of run ${run} of ${controllerId} are no longer all kept: there are only its sums by the minute, which no export holds.`,
      );
    const beyond = beyondFile(found.header);
    if (beyond !== undefined)
      throw new Refused(413, `Run ${run} of ${controllerId} is too long for a file: it has ${beyond}. It stays in the logbook; what it came to stands on its run sheet.`); // prettier-ignore
    response.setHeader('Content-Type', format.type);
    response.setHeader('Content-Disposition', `attachment; filename="${fileNameOf(found)}.${ending}"`);
    await pipeline(Readable.from(format.written(found)), response);
  });

  router.get('/run-imports', (_request, response) => {
    response.json(importedRuns(store));
  });
  router.post('/run-imports', async (request, response) => {
    const { fileName, importedBy } = checked(importRequest, request.query);
    if (request.is(RUN_FILE_TYPE) === false)
      throw new Refused(415, `Expected the file itself (Content-Type: ${RUN_FILE_TYPE}).`);
    const announced = Number(request.get('content-length') ?? 0);
    if (announced > RUN_FILE_BYTES_MAX)
      throw new Refused(413, `${tooLargeWords(fileName, announced)} Nothing was changed.`);
    const folder = folderForSent(store);
    try {
      const path = join(folder, 'run');
      await pipeline(earlyChecked(request.iterator({ destroyOnReturn: false }), fileName), createWriteStream(path));
      // Whoever goes away now finds the run in the logbook all the same.
      const kept = await imports.keep({ path, fileName, importedBy, nowMs: clock.nowMs() });
      if ('knownAs' in kept) throw new Refused(409, knownWords(kept));
      response.status(201).json(kept);
    } catch (fault) {
      if (fault instanceof UnkeptRun) throw new Refused(503, fault.message);
      if (!(fault instanceof UnreadableRun)) throw fault;
      throw new Refused(422, `${fileName} was not imported, and nothing was changed.`, [fault.message]);
    } finally {
      rmSync(folder, { recursive: true, force: true });
      // What else comes of a file that was refused is read into nothing: on a line that is cut its sender would never see why.
      request.resume();
    }
  });
  return router;
}

/** A foreign file is known by its first bytes, and one that is too large by its last at the latest: neither fills the disk. */
async function* earlyChecked(chunks: AsyncIterable<Uint8Array>, fileName: string): AsyncGenerator<Uint8Array> {
  let bytes = 0;
  for await (const chunk of chunks) {
    // Where it begins in crumbs, all of it is looked at when it is there.
    if (bytes === 0 && chunk.length >= BEGINNING_BYTES) readerFor(chunk);
    bytes += chunk.length;
    if (bytes > RUN_FILE_BYTES_MAX) throw new Refused(413, `${tooLargeWords(fileName, bytes)} Nothing was changed.`);
    yield chunk;
  }
}

function knownWords({ knownAs, isDeleted }: KnownBefore): string {
  const { partName, original, run, importedBy, controllerId } = knownAs;
  const which = `This run (number ${String(run)} of ${original.controllerId}${partName === null ? '' : `, ${partName}`}) was imported before, by ${importedBy}`;
  return isDeleted
    ? `${which}, and deleted since. Nothing was changed. Bring it back: it stands under Deleted runs in the logbook.`
    : `${which}: it stands in the logbook as ${controllerId}. Nothing was changed.`;
}

function fileNameOf({ header: { run } }: StoredRun): string {
  const day = new Date(run.startedAtMs).toISOString().slice(0, 10);
  return `${run.controllerId.replace(/[^a-z0-9-]/gi, '-')}-run-${String(run.run)}-${day}`;
}
