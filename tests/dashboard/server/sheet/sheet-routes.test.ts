/* Run sheets over real HTTP, made in their thread: of a night that a bath told, behind the door, with every wrong question answered in words. */
import type { EntryBody, RunRecord } from '@bathkeeper/shared-core/trade';
import { describe, expect, it, test } from 'vitest';
import { openLedgerBook } from '../../../../dashboard/server/ledger/ledger-book.js';
import { openBathAge } from '../../../../dashboard/server/logbook/bath-age.js';
import { openSheetDesk, UnmadeSheet } from '../../../../dashboard/server/sheet/sheet-desk.js';
import { CONTROLLER, EVENING_MS } from '../dashboard-on-trial.js';
import { aNight, asked, type Night, RUN } from '../logbook/a-night.js';
import { sheetAsked } from './a-sheet.js';
import { pagesOf } from './pdf-read.js';

const fetched = ({ page, session }: Night, path: string): Promise<Response> =>
  fetch(`${page.address}${path}`, { headers: session });

describe('a sheet over HTTP', () => {
  it('is a PDF of what the bath told', async () => {
    const response = await fetched(await aNight(), `${RUN}/sheet.pdf?paper=letter&units=imperial&zone=Europe/Berlin`);
    expect(response.headers.get('content-type')).toBe('application/pdf');
    expect(response.headers.get('content-disposition')).toBe(
      'inline; filename="run-sheet-north-bench-1-2026-01-10.pdf"',
    );
    const { pages } = await pagesOf(new Uint8Array(await response.arrayBuffer()));
    expect(pages.map(({ width, height }) => [width, height])).toEqual([[612, 792]]);
    const words = pages[0]!.words.replaceAll('\u00a0', ' ');
    // 3.167 Ah × 1.1855 g/Ah ÷ (8.96 g/cm³ × 12 dm²) are 3.49 µm, or 0.137 mil.
    for (const part of ['Fluted bell lampshade', '3.167 Ah of 60 Ah asked', '0.137 mil', 'Europe/Berlin', 'It ended because the charge was reached.', 'Without current for 90 s', '26 A'])
      expect(words).toContain(part);
  }); // prettier-ignore

  it('is a page without script, in which what people wrote stays text', async () => {
    const night = await aNight({ ...asked, partName: '<img src=x onerror=alert(1)>&"' });
    const { page, session } = night;
    const note = '</span><script>document.title = "ran"</script>';
    await page.ask('POST', `${RUN}/entries`, { who: '<b>Robin</b>', note, body: { kind: 'note' } }, session);
    const response = await fetched(night, `${RUN}/sheet.html`);
    expect(response.headers.get('content-type')).toBe('text/html; charset=utf-8');
    expect(response.headers.get('content-security-policy')).toBe("default-src 'none'; style-src 'unsafe-inline'");
    const text = await response.text();
    expect(text).toContain('&lt;img src=x onerror=alert(1)&gt;&amp;&quot;');
    expect(text).toContain('&lt;b&gt;Robin&lt;/b&gt;: “&lt;/span&gt;&lt;script&gt;');
    expect(text).not.toMatch(/<(script|img|b)\b/);
  });

  it('stays behind the door', async () => {
    const { page } = await aNight();
    expect((await fetch(`${page.address}${RUN}/sheet.pdf`)).status).toBe(401);
  });

  test.each([
    [`${RUN}/sheet.doc`, 404, /sheet\.pdf or sheet\.html; got sheet\.doc/],
    [`${RUN}/sheet.pdf?paper=a5`, 400, /paper: expected a4 or letter/],
    [`${RUN}/sheet.pdf?units=cubits`, 400, /units: expected metric or imperial/],
    [`${RUN}/sheet.pdf?zone=Mars/Olympus`, 400, /zone: expected the name of a time zone, such as Europe\/Berlin/],
    [RUN.replace(/1$/, '77/sheet.pdf'), 404, /Run 77 of north-bench is not in the logbook/],
  ])('%s is answered in words', async (path, status, words) => {
    const night = await aNight();
    const answer = await night.page.ask('GET', path, undefined, night.session);
    expect(answer.status).toBe(status);
    expect([answer.body.error, ...(answer.body.problems ?? [])].join(' ')).toMatch(words);
  });
});

describe('the desk that makes sheets', () => {
  it('tells of a thread that fails, and makes the next one', async () => {
    const failures: string[] = [];
    const desk = openSheetDesk((what) => failures.push(what));
    const broken = { ...sheetAsked(), record: null as never };
    const first = desk.make(broken);
    const second = desk.make(sheetAsked());
    await expect(first).rejects.toThrow(UnmadeSheet);
    await expect(first).rejects.toThrow(/could not be made .* The run itself is kept\. Ask again/);
    expect(Buffer.from(await second).toString('latin1', 0, 5)).toBe('%PDF-');
    expect(failures).toEqual(['a run sheet could not be made']);
  });

  it('refuses more than a few at once', async () => {
    const desk = openSheetDesk(() => undefined);
    const broken = { ...sheetAsked(), record: null as never };
    const all = await Promise.allSettled(Array.from({ length: 10 }, () => desk.make(broken)));
    const words = all.map((one) => (one.status === 'rejected' ? String(one.reason) : ''));
    expect(words.filter((one) => one.includes('Many sheets are being made at once'))).toHaveLength(2);
  });
});

describe('the age of the bath', () => {
  it('counts every run before and this one, of the bath that was under the controller', async () => {
    const night = await aNight();
    const { store } = night.page.trial.dashboard;
    const run = (await night.page.ask('GET', RUN, undefined, night.session)).body as unknown as RunRecord;
    const ageOf = openBathAge(store);
    expect(ageOf(run)).toBeNull();
    const book = openLedgerBook(store);
    const { bathId } = book.addBath({ name: 'Copper 60 L', profile: 'bright-copper', who: 'Robin' }, EVENING_MS);
    const wrote = (body: EntryBody): unknown =>
      book.add({ bathId, atMs: run.startedAtMs - 3_600_000, who: 'Robin', note: '', body }, EVENING_MS);
    wrote({ kind: 'put-on', controllerId: CONTROLLER });
    wrote({ kind: 'level', litres: 58 });
    const age = ageOf(run);
    expect(age).toMatchObject({ bathName: 'Copper 60 L', litres: 58, beforeAmpereHours: 0 });
    // 60 rows of 190 C: 11,400 C are 3.167 Ah.
    expect(age?.afterAmpereHours).toBeCloseTo(11_400 / 3600, 3);
    const next = { ...run, startedAtMs: run.lastedUntilMs + 1000, lastedUntilMs: run.lastedUntilMs + 2000 };
    expect(ageOf(next)?.beforeAmpereHours).toBeCloseTo(11_400 / 3600, 3);
    expect(ageOf({ ...run, controllerId: 'another' })).toBeNull();
    // It stands in the record of the run, with the ledger that it leads to.
    const record = (await night.page.ask('GET', RUN, undefined, night.session)).body as unknown as RunRecord;
    expect(record.bathAge).toEqual({ ...age, bathId });
  });
});
