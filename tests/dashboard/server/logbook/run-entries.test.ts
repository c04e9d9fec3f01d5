/* What people write into the record of a run: notes, weighings, photographs; undoing one, and deleting a run and bringing it back. Real store, real HTTP. */
import { describe, expect, it, test } from 'vitest';
import type { DeletedRun, RunEntry, RunListEntry, RunRecord } from '@bathkeeper/shared-core/trade';
import { CONTROLLER, EVENING_MS } from '../dashboard-on-trial.js';
import { photographKind } from '../../../../dashboard/server/logbook/photograph-kind.js';
import type { Answer } from '../page-on-trial.js';
import { aNight, asked, type Night, RUN } from './a-night.js';
import { jpegOf, pngOf, webpOf } from './photographs.js';

const recordOf = async ({ page, session }: Night): Promise<RunRecord> =>
  (await page.ask('GET', RUN, undefined, session)).body as unknown as RunRecord;
const write = ({ page, session }: Night, entry: object, what = 'entries'): Promise<Answer> =>
  page.ask('POST', `${RUN}/${what}`, entry, session);
const weigh = (night: Night, when: string, grams: number, more: object = {}): Promise<Answer> =>
  write(night, { who: 'Robin', body: { kind: 'weighing', when, grams, uncertaintyGrams: 0.1 }, ...more });

async function sendPhotograph({ page, session }: Night, bytes: Uint8Array, query = 'who=Robin'): Promise<Answer> {
  const response = await fetch(`${page.address}${RUN}/photographs?${query}`, {
    method: 'POST',
    headers: { ...session, 'content-type': 'application/octet-stream' },
    body: Buffer.from(bytes),
  });
  return { status: response.status, body: (await response.json()) as Answer['body'], headers: response.headers };
}

describe('a note', () => {
  it('stands in the record as it was written, whatever stands in it', async () => {
    const night = await aNight();
    const hostile = `<img src=x onerror="alert(1)"><script>alert(2)</script>\n'; DROP TABLE runs; -- 20 µm, 24 °C`;
    const written = await write(night, { who: 'Robin', note: hostile, body: { kind: 'note' } });
    expect(written).toMatchObject({ status: 200, body: { who: 'Robin', note: hostile, undone: null } });
    expect((await recordOf(night)).entries).toEqual([written.body]);
  });

  it('is never changed: it is undone with a reason, once, and stays to be read', async () => {
    const night = await aNight();
    const { body } = await write(night, { who: 'Robin', note: 'Turned at half past two', body: { kind: 'note' } });
    const { entryId } = body as unknown as RunEntry;
    const { database } = night.page.trial.dashboard.store;
    expect(() => database.prepare("UPDATE run_entries SET note = ''").run()).toThrow('never changed');
    expect(() => database.prepare('DELETE FROM run_entries').run()).toThrow('goes only with it');
    expect(await write(night, { who: 'Ola' }, `entries/${String(entryId)}/undo`)).toMatchObject({ status: 400 });
    const undo = { who: 'Ola', reason: 'It was half past three' };
    expect(await write(night, undo, `entries/${String(entryId)}/undo`)).toMatchObject({
      status: 200,
      body: { note: 'Turned at half past two', undone: undo },
    });
    expect(await write(night, undo, `entries/${String(entryId)}/undo`)).toMatchObject({ status: 409 });
    expect(await write(night, undo, 'entries/77/undo')).toMatchObject({ status: 404 });
  });

  it('is corrected by another in its place, both or neither; a weighing is not corrected by words', async () => {
    const night = await aNight();
    const { body } = await write(night, {
      who: 'Robin',
      note: 'At ten',
      atMs: EVENING_MS - 1000,
      body: { kind: 'note' },
    });
    const { entryId } = body as unknown as RunEntry;
    const correct = (entry: number, correction: object): Promise<Answer> =>
      write(night, correction, `entries/${String(entry)}/correct`);
    const correction = { who: 'Ola', note: 'At eleven', reason: 'Read the clock wrong' };
    expect(await correct(entryId, { ...correction, note: ' ' })).toMatchObject({ status: 400 });
    expect(await correct(entryId, correction)).toMatchObject({
      status: 200,
      body: { who: 'Ola', note: 'At eleven', atMs: EVENING_MS - 1000, undone: null },
    });
    expect((await recordOf(night)).entries).toMatchObject([
      { note: 'At ten', undone: { who: 'Ola', reason: 'Read the clock wrong' } },
      { note: 'At eleven', undone: null },
    ]);
    expect(await correct(entryId, correction)).toMatchObject({ status: 409 });
    expect(await correct(77, correction)).toMatchObject({ status: 404 });
    const weighed = (await weigh(night, 'before', 812)).body as unknown as RunEntry;
    expect((await correct(weighed.entryId, correction)).body.error).toContain('not corrected by words');
    expect((await recordOf(night)).entries).toHaveLength(3);
  });

  it('of a time before it could have been is refused: more than a year before the run, as a device without a clock says', async () => {
    const night = await aNight();
    const { startedAtMs } = (await night.page.ask('GET', RUN, undefined, night.session)).body as never as { startedAtMs: number };
    const note = (atMs: number) => night.page.ask('POST', `${RUN}/entries`, { who: 'R', note: 'x', atMs, body: { kind: 'note' } }, night.session);
    const year = 366 * 86_400_000;
    const day = new Date(startedAtMs - year).toISOString().slice(0, 10);
    expect((await note(0)).body.error).toBe(`When: expected a time from ${day} on, got 1970-01-01. Correct the date.`);
    expect((await note(startedAtMs - year - 1)).status).toBe(400);
    expect((await note(startedAtMs - year)).status).toBe(200);
  }); // prettier-ignore

  it('of nobody, of no known kind, with something beside, without words, or of a time to come, is refused', async () => {
    const night = await aNight();
    const before = { kind: 'weighing', when: 'before', uncertaintyGrams: 0.1 };
    for (const [entry, problem] of [
      [{ note: 'x', body: { kind: 'note' } }, 'who: expected your name, got nothing.'],
      [
        { who: 'x'.repeat(61), note: 'x', body: { kind: 'note' } },
        'who: expected a name of at most 60 letters, got a text of 61 characters.',
      ],
      [{ who: 'R', body: { ...before, grams: -3 } }, 'body.grams: expected a weight above 0 g, got -3.'],
      [{ who: 'R', body: { ...before, grams: '3' } }, 'body.grams: expected a weight in grams, got "3".'],
      [{ who: 'R', note: 'x', body: { kind: 'poem' } }, 'body.kind: expected "note" or "weighing", got "poem".'],
      [
        { who: 'R', note: 'x', body: { kind: 'note', html: 'x' } },
        'body: expected no field that is not known, got "html".',
      ],
    ] as const) {
      const answer = await write(night, entry);
      expect(answer.status).toBe(400);
      expect(answer.body.problems?.join()).toContain(problem);
    }
    expect((await write(night, { who: 'R', note: '  ', body: { kind: 'note' } })).body.error).toContain(
      'expected words',
    );
    const tomorrow = night.page.trial.clock.nowMs() + 86_400_000;
    expect((await write(night, { who: 'R', note: 'x', atMs: tomorrow, body: { kind: 'note' } })).body.error).toContain(
      'Correct the date',
    );
  });
});

describe('a weighing', () => {
  it('gives deposit, efficiency and thickness once there is one before and one after', async () => {
    const night = await aNight();
    expect(await weigh(night, 'before', 812)).toMatchObject({ status: 200 });
    expect((await recordOf(night)).weighed).toBeNull();
    expect(await weigh(night, 'after', 815.7)).toMatchObject({ status: 200 });
    const { weighed } = await recordOf(night);
    // 11,400 C are 3.1667 Ah, 3.754 g of copper at most (computed from the SI); 3.7 g of them are 98.6 %.
    expect(weighed?.possibleGrams).toBeCloseTo(3.754, 3);
    expect(weighed?.cathodeEfficiencyPercent?.value).toBeCloseTo(98.56, 1);
    expect(weighed?.question).toBeNull();
  });

  it('that Faraday’s law forbids is questioned with the sum, and kept by somebody who has read it', async () => {
    const night = await aNight();
    await weigh(night, 'before', 812);
    const answer = await weigh(night, 'after', 912);
    expect(answer).toMatchObject({
      status: 409,
      body: { error: 'This weight is doubtful, and was not written down yet.' },
    });
    expect(answer.body.problems?.[0]).toContain('100 g of copper cannot have come from 3.167 Ah');
    expect((await recordOf(night)).entries).toHaveLength(1);
    expect(await weigh(night, 'after', 912, { isConfirmed: true })).toMatchObject({ status: 200 });
    expect((await recordOf(night)).weighed?.question).toContain('cannot have come from');
  });

  it('after the run is refused while it goes on', async () => {
    const night = await aNight(asked, false);
    expect(await weigh(night, 'before', 812)).toMatchObject({ status: 200 });
    expect((await weigh(night, 'after', 815)).body.error).toContain('weigh the part when it has ended');
  });
});

describe('a photograph', () => {
  it('is kept and handed out as what it is, behind the door', async () => {
    const night = await aNight();
    const kinds = { 'image/jpeg': jpegOf(40, 30), 'image/png': pngOf(40, 30), 'image/webp': webpOf(40, 30) };
    for (const [type, bytes] of Object.entries(kinds)) {
      const sent = await sendPhotograph(night, bytes, 'who=Robin&note=Before%20the%20polish');
      expect(sent).toMatchObject({
        status: 200,
        body: { note: 'Before the polish', body: { type, widthPixels: 40, heightPixels: 30, byteCount: bytes.length } },
      });
      const { entryId } = sent.body as unknown as RunEntry;
      const address = `${night.page.address}${RUN}/photographs/${String(entryId)}`;
      const response = await fetch(address, { headers: night.session });
      expect(response.headers.get('content-type')).toBe(type);
      expect(response.headers.get('x-content-type-options')).toBe('nosniff');
      expect(response.headers.get('content-security-policy')).toBe("default-src 'none'; sandbox");
      expect(Buffer.from(await response.arrayBuffer()).equals(bytes)).toBe(true);
      expect((await fetch(address)).status).toBe(401);
      const elsewhere = `/api/runs/${CONTROLLER}/8/1/photographs/${String(entryId)}`;
      expect((await night.page.ask('GET', elsewhere, undefined, night.session)).status).toBe(404);
    }
  });

  it('has its words corrected, of the same picture; the words before stay to be read', async () => {
    const night = await aNight();
    const bytes = pngOf(40, 30);
    const taken = (await sendPhotograph(night, bytes, 'who=Robin&note=The%20run')).body as unknown as RunEntry;
    const correction = { who: 'Ola', note: 'The rim', reason: 'Misspelt' };
    const path = `entries/${String(taken.entryId)}/correct`;
    const corrected = (await write(night, correction, path)).body as unknown as RunEntry;
    expect(corrected).toMatchObject({ who: 'Ola', note: 'The rim', atMs: taken.atMs, body: taken.body, undone: null });
    expect((await recordOf(night)).entries).toMatchObject([
      { note: 'The run', undone: { who: 'Ola', reason: 'Misspelt' } },
      { note: 'The rim' },
    ]);
    for (const { entryId } of [taken, corrected]) {
      const address = `${night.page.address}${RUN}/photographs/${String(entryId)}`;
      const response = await fetch(address, { headers: night.session });
      expect(Buffer.from(await response.arrayBuffer()).equals(bytes)).toBe(true);
    }
  });

  it('is one too many after sixty; one that was undone leaves its place', async () => {
    const night = await aNight();
    const sent: Answer[] = [];
    for (let number = 1; number <= 61; number++) sent.push(await sendPhotograph(night, jpegOf(40, 30)));
    expect(sent.map(({ status }) => status)).toEqual([...new Array<number>(60).fill(200), 409]);
    expect(sent.at(-1)?.body.error).toContain('60 photographs');
    const { entryId } = sent[0]!.body as unknown as RunEntry;
    await write(night, { who: 'Ola', reason: 'Blurred' }, `entries/${String(entryId)}/undo`);
    expect(await sendPhotograph(night, jpegOf(40, 30))).toMatchObject({ status: 200 });
  });

  it('that is none, or larger than the page ever sends, leaves nothing behind', async () => {
    const night = await aNight();
    const drawing = await sendPhotograph(night, Buffer.from('<svg xmlns="http://www.w3.org/2000/svg"/>'));
    expect(drawing).toMatchObject({ status: 422 });
    expect(drawing.body.error).toContain('JPEG, PNG or WebP');
    expect(await sendPhotograph(night, Buffer.alloc(0))).toMatchObject({ status: 422 });
    const large = await sendPhotograph(night, Buffer.alloc(2_000_001));
    expect(large).toMatchObject({ status: 413 });
    expect(large.body.error).toContain('larger than 2 MB');
    expect((await recordOf(night)).entries).toEqual([]);
  });

  test.each([
    ['a page that calls itself one', Buffer.from('<script>alert(1)</script>'), 'JPEG, PNG or WebP'],
    ['a JPEG that was cut off', jpegOf(40, 30).subarray(0, 60), 'cut off'],
    ['a PNG that was cut off', pngOf(40, 30).subarray(0, 50), 'cut off'],
    ['a WebP that was cut off', webpOf(40, 30).subarray(0, 30), 'cut off'],
    ['a JPEG of no width', jpegOf(0, 30), 'cut off'],
    ['a JPEG that tells place and camera', jpegOf(40, 30, 'Exif\0\0'), 'notes of its camera'],
    ['a PNG with notes', pngOf(40, 30, 'eXIf'), 'notes of its camera'],
    ['a WebP with notes', webpOf(40, 30, 'EXIF'), 'notes of its camera'],
  ])('is none: %s', (_words, bytes, words) => {
    expect(photographKind(bytes)).toEqual({ fault: expect.stringContaining(words) as string });
  });

  it('is none in any piece of one, and reading it never throws', () => {
    for (const whole of [jpegOf(40, 30), pngOf(40, 30), webpOf(40, 30)])
      for (let length = 0; length < whole.length; length++)
        expect(photographKind(whole.subarray(0, length))).toHaveProperty('fault');
  });
});

describe('deleting a run', () => {
  const remove = (night: Night): Promise<Answer> => write(night, { who: 'Robin' }, 'delete');
  const bringBack = (night: Night): Promise<Answer> => write(night, {}, 'bring-back');
  const listOf = async ({ page, session }: Night, path = '/api/runs'): Promise<RunListEntry[]> =>
    (await page.ask('GET', path, undefined, session)).body as unknown as RunListEntry[];
  const deletedOf = (night: Night): Promise<DeletedRun[]> => listOf(night, '/api/deleted-runs') as never;

  it('takes it out of the logbook, and brings it back whole', async () => {
    const night = await aNight();
    await weigh(night, 'before', 812);
    const { body: taken } = await sendPhotograph(night, jpegOf(40, 30));
    const picture = `${night.page.address}${RUN}/photographs/${String((taken as unknown as RunEntry).entryId)}`;
    const seen = async (): Promise<number> => (await fetch(picture, { headers: night.session })).status;
    const before = await recordOf(night);
    expect(await remove(night)).toMatchObject({ status: 200 });
    expect(await seen()).toBe(404);
    expect(await listOf(night)).toEqual([]);
    expect((await night.page.ask('GET', RUN, undefined, night.session)).status).toBe(404);
    expect(await deletedOf(night)).toMatchObject([
      { run: 1, bathName: 'Copper 60 L', partName: 'Fluted bell lampshade', deleted: { who: 'Robin' } },
    ]);
    expect(await bringBack(night)).toMatchObject({ status: 200 });
    expect(await seen()).toBe(200);
    expect(await deletedOf(night)).toEqual([]);
    expect(await recordOf(night)).toEqual(before);
    expect(await bringBack(night)).toMatchObject({ status: 404 });
  });

  it('lets go after thirty days, and not before, of what people wrote of it, and of nothing that the bath told', async () => {
    const night = await aNight();
    const { clock, dashboard } = night.page.trial;
    const { store, deletedRuns } = dashboard;
    const count = (table: string): unknown => store.database.prepare(`SELECT count(*) FROM ${table}`).pluck().get();
    await sendPhotograph(night, jpegOf(40, 30));
    await remove(night);
    const kept = ['minutes', 'ten_minutes', 'events', 'raw_records', 'runs'].map((table) => [table, count(table)]);
    const overMs = clock.nowMs() + 30 * 86_400_000;
    deletedRuns.forgetNext(overMs - 1);
    expect([count('run_entries'), count('photographs'), deletedRuns.list(overMs - 1).length]).toEqual([1, 1, 1]);
    deletedRuns.forgetNext(overMs);
    expect([count('run_entries'), count('photographs'), await deletedOf(night)]).toEqual([0, 0, []]);
    expect(kept.map(([table]) => [table, count(String(table))])).toEqual(kept);
    expect(await bringBack(night)).toMatchObject({ status: 404 });
    expect(await listOf(night)).toEqual([]);
  });

  it('is refused while it goes on', async () => {
    const answer = await remove(await aNight(asked, false));
    expect(answer).toMatchObject({ status: 409 });
    expect(answer.body.error).toContain('when it has ended');
  });
});
