/* Run sheets as PDF and as HTML. Mounted below /api, behind the door; what a sheet holds is the business of the room sheet. */
import { Router } from 'express';
import { z } from 'zod';
import type { Dashboard } from '../dashboard.js';
import { importedRun } from '../export/imported-runs.js';
import type { SheetFormat } from '../sheet/made-sheet.js';
import { paperKeys } from '../sheet/paper.js';
import { openSheetDesk, UnmadeSheet } from '../sheet/sheet-desk.js';
import { recordOf } from './logbook-routes.js';
import { checked, Refused, refusedAsUnread } from './refusal.js';

/** About one for each point of the paper's width. */
const POINTS = 520;
const types: Readonly<Record<SheetFormat, string>> = { pdf: 'application/pdf', html: 'text/html; charset=utf-8' };

function isZone(name: string): boolean {
  try {
    return new Intl.DateTimeFormat('en', { timeZone: name }).resolvedOptions().timeZone !== '';
  } catch {
    return false;
  }
}

const sheetRequest = z.strictObject({
  paper: z.enum(paperKeys, `expected ${paperKeys.join(' or ')}`).default('a4'),
  units: z.enum(['metric', 'imperial'], 'expected metric or imperial').default('metric'),
  zone: z
    .string()
    .max(60)
    .refine(isZone, { message: 'expected the name of a time zone, such as Europe/Berlin' })
    .default(() => new Intl.DateTimeFormat().resolvedOptions().timeZone),
});

export function sheetRoutes(dashboard: Dashboard): Router {
  const { store, clock, reading, log } = dashboard;
  const desk = openSheetDesk((what, fault) => {
    log.error({ err: fault }, what);
  });
  const router = Router();
  router.get('/runs/:controllerId/:incarnation/:run/sheet.:format', async (request, response) => {
    const { format } = request.params;
    if (format !== 'pdf' && format !== 'html')
      throw new Refused(404, `A run sheet is sheet.pdf or sheet.html; got sheet.${format}.`);
    const { paper, units, zone } = checked(sheetRequest, request.query);
    const full = await recordOf(dashboard, request);
    const record = { ...full, alarms: full.alarms.map(({ alarm }) => ({ alarm, journal: [] })) };
    const { controllerId, startedAtMs: fromMs } = record;
    const asked = { controllerId, fromMs, toMs: Math.max(fromMs + 1000, record.lastedUntilMs), points: POINTS };
    const series = await reading.ask('series', asked).catch(refusedAsUnread);
    const imported = importedRun(store, controllerId) ?? null;
    const around = { bathAge: record.bathAge, imported };
    const reader = { units, zone, writtenAtMs: clock.nowMs() };
    const bytes = await desk.make({ format, paper, record, series, around, reader }).catch((fault: unknown) => {
      throw fault instanceof UnmadeSheet ? new Refused(503, fault.message) : fault;
    });
    const day = new Date(fromMs).toISOString().slice(0, 10);
    const name = `run-sheet-${controllerId.replace(/[^a-z0-9-]/gi, '-')}-${String(record.run)}-${day}.${format}`;
    response.setHeader('Content-Type', types[format]);
    // Shown by the browser, from where it is printed or kept; nothing in it may run or fetch.
    response.setHeader('Content-Disposition', `inline; filename="${name}"`);
    if (format === 'html')
      response.setHeader('Content-Security-Policy', "default-src 'none'; style-src 'unsafe-inline'");
    response.send(Buffer.from(bytes));
  });
  return router;
}
