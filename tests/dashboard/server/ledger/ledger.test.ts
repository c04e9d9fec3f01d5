/* Ledgers of baths: through the page's routes, in the store, and out of the store of the version before. */
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { describe, expect, it, test } from 'vitest';
import type { BathLedger, LedgerBath, LedgerEntry } from '@bathkeeper/shared-core/trade';
import { openLedgerBook } from '../../../../dashboard/server/ledger/ledger-book.js';
import { migrations } from '../../../../dashboard/server/store/schema.js';
import { openStore } from '../../../../dashboard/server/store/store.js';
import { EVENING_MS, folderOnTrial } from '../dashboard-on-trial.js';
import { letIn, type Page, pageOnTrial } from '../page-on-trial.js';

const made = {
  kind: 'made-up',
  litres: 60,
  composition: { 'copper-sulphate': 200, 'sulphuric-acid': 70, chloride: 75 },
  from: 'chemicals',
  saltPurityShare: 1,
  acid: { strengthShare: 0.96, densityGramsPerMl: 1.84 },
};
const titrated = {
  kind: 'analysis',
  analyte: 'copper-sulphate',
  how: 'edta',
  titration: { sampleMillilitres: 2, titrantMillilitres: 15.2, titrantMolesPerLitre: 0.1 },
};

interface Answered {
  status: number;
  body: { error?: string; problems?: string[] };
}

async function ledgerOnTrial(options: Parameters<typeof pageOnTrial>[0] = {}): Promise<{
  page: Page;
  session: Record<string, string>;
  ask: (method: string, path: string, body?: unknown) => Promise<Answered>;
  bath: LedgerBath;
  write: (body: unknown, more?: object) => Promise<Answered>;
  entries: () => Promise<readonly LedgerEntry[]>;
}> {
  const page = await pageOnTrial(options);
  const session = await letIn(page);
  const ask = async (method: string, path: string, body?: unknown): Promise<Answered> =>
    page.ask(method, `/api/baths${path}`, body, session);
  const bath = (await ask('POST', '', { name: 'Copper 60 L', profile: 'bright-copper', who: 'Kim' })).body as unknown as LedgerBath; // prettier-ignore
  const at = `/${String(bath.bathId)}`;
  return {
    page,
    session,
    ask,
    bath,
    write: (body, more = {}) => ask('POST', `${at}/entries`, { who: 'Kim', body, ...more }),
    entries: async () => ((await ask('GET', at)).body as unknown as BathLedger).entries,
  };
}

describe('a bath with a ledger', () => {
  it('is listed, and is known by who began its ledger and when', async () => {
    const { ask, bath } = await ledgerOnTrial();
    expect(bath).toEqual({
      bathId: bath.bathId,
      name: 'Copper 60 L',
      profile: 'bright-copper',
      isSimulated: false,
      writtenAtMs: EVENING_MS,
      who: 'Kim',
    });
    expect((await ask('GET', '')).body).toEqual([bath]);
    expect((await ask('GET', `/${String(bath.bathId)}`)).body).toEqual({
      bath,
      entries: [],
      lowGoods: [],
      worked: {
        controllerId: null,
        uncountedControllerId: null,
        millicoulombs: 0,
        sinceDoseMillicoulombs: 0,
        dosedAtMs: null,
        atEntries: {},
      },
    });
  });

  it('has a name of its own, and a profile that the ledger knows', async () => {
    const { ask } = await ledgerOnTrial();
    const twice = await ask('POST', '', { name: ' Copper 60 L ', profile: 'high-throw-copper', who: 'Kim' });
    expect(twice).toMatchObject({ status: 409, body: { error: 'There is a ledger of “Copper 60 L” already. Give this bath another name.' } }); // prettier-ignore
    const nickel = await ask('POST', '', { name: 'Nickel', profile: 'watts-nickel', who: 'Kim' });
    expect(nickel.status).toBe(400);
    expect(nickel.body.problems?.[0]).toMatch(/^profile: /);
    expect((await ask('POST', '', { name: 'No name', profile: 'bright-copper', who: ' ' })).body.problems?.[0]).toMatch(
      /^who: /,
    );
    expect((await ask('GET', '/77')).status).toBe(404);
  });
});

describe('an entry', () => {
  it('is kept with who, when it was done and when it was written, and what was computed of it', async () => {
    const { page, write, entries } = await ledgerOnTrial();
    await write(made, { atMs: EVENING_MS - 86_400_000, note: 'from new salt' });
    await page.trial.pass(60);
    await write(titrated);
    const [analysis, makeUp] = await entries();
    expect(makeUp).toMatchObject({
      who: 'Kim',
      atMs: EVENING_MS - 86_400_000,
      writtenAtMs: EVENING_MS,
      note: 'from new salt',
      undone: null,
      body: { kind: 'made-up', amounts: { saltGrams: 12_000 } },
    });
    expect(analysis).toMatchObject({ atMs: EVENING_MS + 60_000, body: { how: 'edta' } });
    // 15.2 × 0.1 / 2 × 249.685, computed by hand.
    expect(analysis!.body).toMatchObject({ concentration: 189.7606 });
  });

  it('is listed by the day it was done, whenever it was written', async () => {
    const { write, entries } = await ledgerOnTrial();
    await write({ kind: 'level', litres: 58 });
    await write(made, { atMs: EVENING_MS - 1000 });
    expect((await entries()).map(({ body }) => body.kind)).toEqual(['level', 'made-up']);
  });

  it('is undone once, with a reason, and stays to be read', async () => {
    const { ask, bath, write, entries } = await ledgerOnTrial();
    const { entryId } = (await write({ kind: 'addition', of: 'water', amount: 2000 })).body as unknown as LedgerEntry;
    const undo = (entry: number, body: object) =>
      ask('POST', `/${String(bath.bathId)}/entries/${String(entry)}/undo`, body);
    expect((await undo(entryId, { who: 'Robin', reason: ' ' })).status).toBe(400);
    expect((await undo(entryId, { who: 'Robin', reason: 'it went into the rinse' })).status).toBe(200);
    expect(await entries()).toMatchObject([
      { entryId, who: 'Kim', undone: { atMs: EVENING_MS, who: 'Robin', reason: 'it went into the rinse' } },
    ]);
    expect((await undo(entryId, { who: 'Kim', reason: 'again' })).status).toBe(409);
    expect((await undo(999, { who: 'Kim', reason: 'nothing' })).status).toBe(404);
  });

  it('that does not fit is refused with every fault, and nothing is written', async () => {
    const { write, entries } = await ledgerOnTrial();
    for (const [body, words] of [
      [{ kind: 'addition', of: 'sulphuric-acid', amount: 10 }, /acid: expected its strength and density/],
      [{ kind: 'addition', of: 'other-solid', amount: 10 }, /name: expected what was added/],
      [{ ...titrated, how: 'sodium-hydroxide' }, /how: expected direct or edta or thiosulphate/],
      [{ kind: 'analysis', analyte: 'chloride', how: 'direct' }, /value: expected a concentration/],
      [{ ...titrated, titration: { ...titrated.titration, blankMillilitres: 16 } }, /Read the burette again/],
      [{ kind: 'note' }, /note: expected words/],
      [{ kind: 'level', litres: 60, colour: 'blue' }, /body.*colour/],
      [{ kind: 'level', litres: -1 }, /body.litres/],
      [{ kind: 'level', litres: 1e-300 }, /body.litres: expected a number of at least 0.000001, got 1e-300/],
      [{ kind: 'bottled' }, /body.kind/],
      [{ kind: 'put-on', controllerId: 'nobody' }, /expected a paired controller/],
    ] as const) {
      const answer = await write(body);
      expect(answer.status, JSON.stringify(body)).toBe(400);
      expect(answer.body.problems?.join(' '), JSON.stringify(body)).toMatch(words);
    }
    const ahead = await write({ kind: 'level', litres: 60 }, { atMs: EVENING_MS + 3_600_000 });
    expect(ahead.body.problems).toEqual(['atMs: expected a time that has been, got one to come. Correct the date.']);
    const before = await write({ kind: 'note' }, { note: 'x', atMs: 0 });
    expect(before.body.problems).toEqual([
      'atMs: expected a time from 2000-01-01 on, got 1970-01-01. Correct the date.',
    ]);
    expect(await entries()).toEqual([]);
  });

  it('that is doubtful is asked about, and kept only by somebody who has read why', async () => {
    const { write, entries } = await ledgerOnTrial();
    await write({ kind: 'level', litres: 60 }, { atMs: EVENING_MS - 7_200_000 });
    const slip = { kind: 'level', litres: 300 };
    const refused = await write(slip);
    expect(refused.status).toBe(409);
    expect(refused.body.error).toBe(
      'This entry is doubtful, and was not written down yet. Correct it, or write it down all the same.',
    );
    expect(refused.body.problems).toEqual([expect.stringContaining('300 L were read, and by the ledger some 60 L')]);
    expect(await entries()).toHaveLength(1);
    // Held against what stood there then: before the first level nothing was known.
    expect((await write(slip, { atMs: EVENING_MS - 10_800_000 })).status).toBe(200);
    expect((await write(slip, { isConfirmed: true })).status).toBe(200);
    expect(await entries()).toHaveLength(3);
  });

  it('is text, whatever stands in its note', async () => {
    const { write, entries } = await ledgerOnTrial();
    const note = '<img src=x onerror=alert(1)> "; DROP TABLE ledger_entries; --';
    await write({ kind: 'note' }, { note });
    expect((await entries())[0]?.note).toBe(note);
  });
});

const hourMs = 3_600_000;
async function workedOnTrial(options: Parameters<typeof pageOnTrial>[0] = {}) {
  const trial = await ledgerOnTrial(options);
  const { database } = trial.page.trial.dashboard.store;
  const run = database.prepare(
    `INSERT INTO runs (controller_id, incarnation, run, recipe_id, started_at_ms, ended_at_ms, charge_millicoulombs)
     VALUES ('north-bench', 7, CAST(? AS INTEGER), 1, CAST(? AS INTEGER), CAST(? AS INTEGER), CAST(? AS INTEGER))`,
  );
  database.exec("INSERT INTO memories VALUES (1, 1, 'north-bench', 7, 0, 0, -1, 0)");
  // As logged-records.ts sums a record: into its minute and into its ten minutes.
  const sums = (['minutes', 'ten_minutes'] as const).map((table) =>
    database.prepare(
      `INSERT INTO ${table} VALUES (1, CAST(? AS INTEGER), 1, CAST(? AS INTEGER), 60, 4, CAST(? AS INTEGER), 0, 0, 0, 0, NULL, NULL, 0, 0, 0, 0, NULL, NULL, NULL, NULL, NULL, NULL)`,
    ),
  );
  const record = {
    run: (_first: number, atMs: number, runNumber: number, charge: number) => {
      sums[0]!.run(Math.floor(atMs / 60_000), runNumber, charge);
      sums[1]!.run(Math.floor(atMs / 600_000), runNumber, charge);
    },
  };
  const worked = async () =>
    ((await trial.ask('GET', `/${String(trial.bath.bathId)}`)).body as unknown as BathLedger).worked;
  return { ...trial, run, record, worked };
}

describe('the charge of a bath', () => {
  it('is that of the runs which its controller began while it stood there, to the millicoulomb', async () => {
    const { write, run, record, worked } = await workedOnTrial();
    await write({ kind: 'put-on', controllerId: 'north-bench' }, { atMs: EVENING_MS - 10 * hourMs });
    await write({ kind: 'taken-off' }, { atMs: EVENING_MS - 2 * hourMs });
    run.run(1, EVENING_MS - 11 * hourMs, EVENING_MS - 10 * hourMs, 5000);
    run.run(2, EVENING_MS - 9 * hourMs, EVENING_MS - 8 * hourMs, 1_000_000);
    record.run(1, EVENING_MS - 8 * hourMs, 2, 1_000_123);
    run.run(3, EVENING_MS - 3 * hourMs, EVENING_MS - 2 * hourMs, 7000);
    run.run(4, EVENING_MS - hourMs, null, 9_000_000);
    expect(await worked()).toMatchObject({
      controllerId: null,
      millicoulombs: 1_007_123,
      sinceDoseMillicoulombs: 1_007_123,
      dosedAtMs: null,
    });
  });

  it('since the last dose is what a run counted after it, and is told at the bath when a dose is used up', async () => {
    const { page, session, bath, write, run, record, worked } = await workedOnTrial();
    const reminders = async () => {
      const answer = await page.ask('GET', '/api/controllers/north-bench/ledger-reminders', undefined, session);
      return answer.body as unknown;
    };
    await write({ kind: 'put-on', controllerId: 'north-bench' }, { atMs: EVENING_MS - 10 * hourMs });
    await write({ kind: 'addition', of: 'brightener', amount: 90 }, { atMs: EVENING_MS - 7 * hourMs });
    run.run(1, EVENING_MS - 9 * hourMs, null, 0);
    record.run(1, EVENING_MS - 8 * hourMs, 1, 100_000_000);
    record.run(2, EVENING_MS - 6 * hourMs, 1, 1_180_000_000);
    expect(await worked()).toMatchObject({
      controllerId: 'north-bench',
      millicoulombs: 1_180_000_000,
      sinceDoseMillicoulombs: 1_080_000_000,
      dosedAtMs: EVENING_MS - 7 * hourMs,
    });
    expect(await reminders(), 'nobody wrote down a rate').toEqual([]);
    await write({ kind: 'brightener-rate', litresPerKiloampereHour: 0.3, doseMillilitres: 80, source: 'a sheet' });
    expect(await reminders()).toEqual([
      { bathId: bath.bathId, words: '“Copper 60 L” wants brightener: 300 Ah since the last dose have used up 90 mL.' },
    ]);
    await write({ kind: 'addition', of: 'brightener', amount: 90 });
    expect(await reminders()).toEqual([]);
  });
});

describe('what had gone through a bath', () => {
  it('when an entry was done is whole runs before it, and of a run on the way what it had counted', async () => {
    const { write, run, record, worked, entries } = await workedOnTrial();
    await write({ kind: 'put-on', controllerId: 'north-bench' }, { atMs: EVENING_MS - 10 * hourMs });
    run.run(1, EVENING_MS - 9 * hourMs, EVENING_MS - 8 * hourMs, 1_000_000);
    record.run(1, EVENING_MS - 8 * hourMs, 1, 1_000_123);
    run.run(2, EVENING_MS - 6 * hourMs, null, 0);
    record.run(2, EVENING_MS - 5 * hourMs, 2, 400_000);
    record.run(3, EVENING_MS - 3 * hourMs, 2, 900_000);
    for (const hoursAgo of [9.5, 7, 4, 1])
      await write({ kind: 'anodes-weighed', grams: 8000 }, { atMs: EVENING_MS - hoursAgo * hourMs });
    const { atEntries, millicoulombs } = await worked();
    const weighed = (await entries()).filter(({ body }) => body.kind === 'anodes-weighed').reverse();
    expect(weighed.map(({ entryId }) => atEntries[entryId])).toEqual([0, 1_000_123, 1_400_123, 1_900_123]);
    expect(millicoulombs).toBe(1_900_123);
  });
});

describe('a controller that watches one bath', () => {
  const put = { kind: 'put-on', controllerId: 'north-bench' };
  const anotherBath = async ({ ask }: Pick<Awaited<ReturnType<typeof ledgerOnTrial>>, 'ask'>) => {
    const asked = await ask('POST', '', { name: 'Copper 20 L', profile: 'bright-copper', who: 'Kim' });
    return `/${String((asked.body as unknown as LedgerBath).bathId)}/entries`;
  };

  it('is not given to a second one before it has left the first, so that no run counts in two ledgers', async () => {
    const trial = await ledgerOnTrial();
    const second = await anotherBath(trial);
    const write = (body: unknown, atMs: number) => trial.ask('POST', second, { who: 'Kim', body, atMs });
    await trial.write(put, { atMs: EVENING_MS - 10 * hourMs });
    const refused = await write(put, EVENING_MS - 5 * hourMs);
    expect(refused.status).toBe(409);
    expect(refused.body.error).toMatch(/^north-bench stands at the bath “Copper 60 L” at that time, .*when that was taken off/); // prettier-ignore
    // Before the first stood there, it would still stand there afterwards.
    expect((await write(put, EVENING_MS - 20 * hourMs)).status).toBe(409);
    await trial.write({ kind: 'taken-off' }, { atMs: EVENING_MS - 6 * hourMs });
    expect((await write(put, EVENING_MS - 6 * hourMs)).status).toBe(200);
  });

  it('does not come to stand at two when an entry is undone', async () => {
    const trial = await ledgerOnTrial();
    const second = await anotherBath(trial);
    await trial.write(put, { atMs: EVENING_MS - 10 * hourMs });
    const { entryId } = (await trial.write({ kind: 'taken-off' }, { atMs: EVENING_MS - 6 * hourMs })).body as unknown as LedgerEntry; // prettier-ignore
    const given = (await trial.ask('POST', second, { who: 'Kim', body: put })).body as unknown as LedgerEntry;
    const undo = (path: string, id: number) => trial.ask('POST', `${path}/${String(id)}/undo`, { who: 'Kim', reason: 'it never left' }); // prettier-ignore
    const first = `/${String(trial.bath.bathId)}/entries`;
    const refused = await undo(first, entryId);
    expect([refused.status, refused.body.error]).toEqual([409, expect.stringContaining('“Copper 20 L”')]);
    expect((await undo(second, given.entryId)).status).toBe(200);
    expect((await undo(first, entryId)).status).toBe(200);
  });
});

describe('a simulated run', () => {
  const put = { kind: 'put-on', controllerId: 'north-bench' } as const;

  it('is kept out of a real bath: it is not put under a simulated controller, nor the other way round', async () => {
    const real = await ledgerOnTrial({ isSimulated: true });
    const refused = await real.write(put);
    expect([refused.status, refused.body.problems]).toEqual([400, [expect.stringMatching(/“north-bench”, which is simulated: .* Pair the controller of this tank/)]]); // prettier-ignore
    expect(await real.entries()).toEqual([]);

    const paired = await ledgerOnTrial();
    const book = openLedgerBook(paired.page.trial.dashboard.store);
    const { bathId } = book.addBath({ name: 'Copper 20 L', profile: 'bright-copper', who: 'Kim', isSimulated: true }, EVENING_MS); // prettier-ignore
    const other = await paired.ask('POST', `/${String(bathId)}/entries`, { who: 'Kim', body: put });
    expect([other.status, other.body.problems]).toEqual([400, [expect.stringMatching(/which is simulated, got “north-bench”, which is real/)]]); // prettier-ignore
  });

  it.each([
    ['of a bath that an older store has under it', false],
    ['of a virtual bath that has gone since', true],
  ])('counts in no real bath: %s', async (_words, isGone) => {
    const { page, session, bath, run, record, worked, write } = await workedOnTrial({ isSimulated: true });
    const { dashboard } = page.trial;
    const book = openLedgerBook(dashboard.store);
    const atMs = EVENING_MS - 10 * hourMs;
    book.add({ bathId: bath.bathId, atMs, who: 'Kim', note: '', body: put }, atMs);
    run.run(1, EVENING_MS - 9 * hourMs, EVENING_MS - 8 * hourMs, 1_000_000);
    record.run(1, EVENING_MS - 8 * hourMs, 1, 1_000_123);
    await write({ kind: 'brightener-rate', litresPerKiloampereHour: 0.3, doseMillilitres: 0.001, source: 'a sheet' });
    if (isGone) {
      dashboard.store.setSetting('simulated:north-bench', '1');
      dashboard.unpair('north-bench');
    }
    expect(await worked()).toMatchObject({
      controllerId: null,
      uncountedControllerId: 'north-bench',
      millicoulombs: 0,
      sinceDoseMillicoulombs: 0,
    });
    const run1 = (await page.ask('GET', '/api/runs/north-bench/7/1', undefined, session)).body;
    expect(run1).toMatchObject({ isSimulated: true, bathAge: null });
    await write({ kind: 'taken-off' });
    expect(await worked()).toMatchObject({ uncountedControllerId: null });
  });
});

describe('a reminder of care', () => {
  it('comes by days or by charge, whichever is first, at the controller under which the bath stands', async () => {
    const { page, session, bath, write, run, record } = await workedOnTrial();
    const reminders = async () =>
      (await page.ask('GET', '/api/controllers/north-bench/ledger-reminders', undefined, session)).body as unknown;
    const wants = (words: string) => [{ bathId: bath.bathId, words: `“Copper 60 L” wants ${words}` }];
    await write({ kind: 'put-on', controllerId: 'north-bench' }, { atMs: EVENING_MS - 72 * hourMs });
    await write({ kind: 'filtration', how: 'batch', isMediumNew: true }, { atMs: EVENING_MS - 50 * hourMs });
    run.run(1, EVENING_MS - 9 * hourMs, EVENING_MS - 8 * hourMs, 0);
    record.run(1, EVENING_MS - 8 * hourMs, 1, 720_000_000);
    const remind = (every: object) => write({ kind: 'reminder', of: 'filtration', ...every });
    await remind({ everyDays: 3, everyAmpereHours: 500 });
    expect(await reminders()).toEqual([]);
    await remind({ everyDays: 2, everyAmpereHours: 500 });
    expect(await reminders(), 'by days').toEqual(wants('filtration: 2 days and 200 Ah since the last.'));
    await remind({ everyAmpereHours: 200 });
    expect(await reminders(), 'by charge').toEqual(wants('filtration: 2 days and 200 Ah since the last.'));
    await remind({});
    expect(await reminders(), 'no longer').toEqual([]);
    await write({ kind: 'reminder', of: 'carbon-treatment', everyDays: 0.5 }, { atMs: EVENING_MS - 24 * hourMs });
    expect(await reminders()).toEqual(wants('carbon treatment: 1 day and 200 Ah and none yet.'));
  });
});

describe('the care of a bath', () => {
  it('is kept with what was computed of it', async () => {
    const { write, entries } = await ledgerOnTrial();
    await write({
      kind: 'hull-cell', cell: '267 mL', cellAmps: 1, minutes: 10, isStirred: false,
      seen: [{ look: 'burnt', fromMm: 0, toMm: 10 }, { look: 'bright', fromMm: 10, toMm: 80 }],
    }); // prettier-ignore
    await write({ kind: 'throwing-power', nearGrams: 3, farGrams: 1, distanceRatio: 5, formula: 'field' });
    const [throwing, hull] = await entries();
    // Field at K 5, M 3: 33.33 (from memory of the handbooks).
    expect(throwing?.body).toMatchObject({ percent: expect.closeTo(33.33, 2) as number });
    expect(hull?.body).toMatchObject({ seen: [{ highAmpsPerDm2: null, lowAmpsPerDm2: expect.closeTo(5.1, 1) as number }, { look: 'bright' }] }); // prettier-ignore
  });

  it('that does not fit is refused with what was expected', async () => {
    const { write, entries } = await ledgerOnTrial();
    const panel = { kind: 'hull-cell', cell: '267 mL', cellAmps: 1, minutes: 10, isStirred: true };
    for (const [body, words] of [
      [{ ...panel, seen: [] }, /expected how the panel looked/],
      [{ ...panel, seen: [{ look: 'bright', fromMm: 20, toMm: 10 }] }, /end beyond 20 mm, got 10 mm/],
      [{ ...panel, seen: [{ look: 'bright', fromMm: 0, toMm: 120 }] }, /a panel of 102 mm, got 120 mm/],
      [{ ...panel, seen: [{ look: 'pretty', fromMm: 0, toMm: 10 }] }, /body.seen/],
      [{ kind: 'throwing-power', nearGrams: 1, farGrams: 2, distanceRatio: 5, formula: 'field' }, /taken for each other/],
      [{ kind: 'throwing-power', nearGrams: 2, farGrams: 1, distanceRatio: 1, formula: 'field' }, /Divide the far distance/],
      [{ kind: 'anodes-changed', takenOutGrams: 0, putInGrams: 0 }, /got neither/],
      [{ kind: 'waste-collected', what: 'bath', amount: 3 }, /body.container/],
      [{ kind: 'waste-handed-over', what: 'bath', amount: 3, toWhom: ' ' }, /body.toWhom/],
    ] as const) {
      const answer = await write(body);
      expect(answer.status, JSON.stringify(body)).toBe(400);
      expect(answer.body.problems?.join(' '), JSON.stringify(body)).toMatch(words);
    }
    expect(await entries()).toEqual([]);
  }); // prettier-ignore
});

describe('the store', () => {
  test('changes and deletes nothing of a ledger, whoever asks', async () => {
    const { page, write } = await ledgerOnTrial();
    await write({ kind: 'level', litres: 60 });
    const { database } = page.trial.dashboard.store;
    expect(() => database.exec("UPDATE ledger_entries SET body = '{}'")).toThrow(/never changed/);
    expect(() => database.exec('DELETE FROM ledger_entries')).toThrow(/never deleted/);
    expect(() => database.exec("UPDATE ledger_baths SET name = 'x'")).toThrow(/never changed/);
    expect(() => database.exec('DELETE FROM ledger_baths')).toThrow(/never deleted/);
  });

  test('of the version before gets its ledgers when it opens, and keeps what it had', () => {
    const file = join(folderOnTrial(), 'bathkeeper.sqlite');
    const ledgers = migrations.findIndex((text) => text.includes('ledger_baths'));
    const old = new Database(file);
    for (const text of migrations.slice(0, ledgers)) old.exec(text);
    old.pragma(`user_version = ${String(ledgers)}`);
    old.exec("INSERT INTO plans (name, changed_at_ms, request) VALUES ('bell', 1, '{}')");
    old.close();
    const store = openStore(file);
    expect(store.database.prepare('SELECT count(*) AS count FROM ledger_entries').get()).toEqual({ count: 0 });
    expect(store.database.prepare('SELECT name FROM plans').get()).toEqual({ name: 'bell' });
    store.close();
  });
});
