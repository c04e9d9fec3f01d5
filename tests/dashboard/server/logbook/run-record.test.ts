/* The logbook over HTTP: runs in a list, one run with everything that is known of it, and sums that outlive the records. Real broker, real store. */
import { describe, expect, it } from 'vitest';
import { EventKind, Phase } from '@bathkeeper/shared-core/control';
import type { RunListEntry, RunRecord } from '@bathkeeper/shared-core/trade';
import { CONTROLLER, EVENING_MS } from '../dashboard-on-trial.js';
import { letIn, pageOnTrial } from '../page-on-trial.js';
import { eventRow, INCARNATION, outbox, recordRow } from '../quiet-bath.js';
import { aNight, asked, type Night, RUN } from './a-night.js';

const recordOf = async ({ page, session }: Night): Promise<RunRecord> =>
  (await page.ask('GET', RUN, undefined, session)).body as unknown as RunRecord;
const listOf = async ({ page, session }: Night, query = ''): Promise<RunListEntry[]> =>
  (await page.ask('GET', `/api/runs${query}`, undefined, session)).body as unknown as RunListEntry[];

describe('the list of runs', () => {
  it('is shown only behind the door', async () => {
    const page = await pageOnTrial();
    await letIn(page);
    expect((await page.ask('GET', '/api/runs')).status).toBe(401);
    expect((await page.ask('GET', RUN)).status).toBe(401);
  });

  it('has the part, the charge and the average of each run, newest first', async () => {
    const night = await aNight();
    const startedAtMs = EVENING_MS + 30_000;
    await night.page.trial.pass(30);
    night.page.trial.bath.say(
      'outbox',
      outbox([], [eventRow({ sequence: 8, uptime: 96_500, kind: EventKind.runStarted, a: 99, b: 2, run: 2 })], 96_500),
    );
    await night.page.trial.dashboard.settle();
    const [newest, first, ...others] = await listOf(night);
    expect(others).toEqual([]);
    expect(newest).toMatchObject({ run: 2, startedAtMs, partName: null, endedAtMs: null, chargeAmpereHours: 0 });
    expect(first).toMatchObject({
      controllerId: CONTROLLER,
      incarnation: INCARNATION,
      run: 1,
      bathName: 'Copper 60 L',
      partName: 'Fluted bell lampshade',
      isSimulated: false,
      askedChargeAmpereHours: 60,
    });
    expect(first!.chargeAmpereHours).toBeCloseTo(11_400 / 3600, 3);
    // 3.167 Ah × 1.1855 g/Ah ÷ (8.96 g/cm³ × 12 dm²) are 3.49 µm (computed from the SI).
    expect(first!.averageThicknessMicrometres).toBeCloseTo(3.49, 2);
    expect(await listOf(night, `?before=${String(newest!.startedAtMs)}&count=1`)).toMatchObject([{ run: 1 }]);
  });

  it('refuses a question that is none', async () => {
    const { page, session } = await aNight();
    const answer = await page.ask('GET', '/api/runs?count=many', undefined, session);
    expect(answer).toMatchObject({
      status: 400,
      body: { error: 'count: expected a whole number from 1 to 200, got "many".' },
    });
  });
});

describe('the record of a run', () => {
  it('has phases, interruption, charge, energy and temperatures as they were', async () => {
    const record = await recordOf(await aNight());
    expect(record.phases.map(({ phase, seconds }) => [phase, seconds])).toEqual([
      [Phase.strike, 60],
      [Phase.plate, 540],
    ]);
    expect(record.interruptions).toMatchObject([
      { seconds: 90, adhesion: expect.stringContaining('dip it') as string },
    ]);
    expect(record.endedBecause).toBe('the charge was reached');
    expect(record.measures).toMatchObject({
      recordedSeconds: 600,
      currentMeanAmps: 19,
      currentMinAmps: 18.9,
      // One second in six hundred.
      currentMaxAmps: 26,
      bathMeanCelsius: 24,
      bathMinCelsius: 24,
      bathMaxCelsius: 24,
    });
    // 19 A × 2.1 V × 600 s
    expect(record.measures.energyWattHours).toBeCloseTo(6.65, 6);
    expect(record.measures.chargeAmpereHours).toBeCloseTo(11_400 / 3600, 6);
    expect(record.deposit?.averageThicknessMicrometres.value).toBeCloseTo(3.49, 2);
    expect(record.calibration).toMatchObject([{ step: 4, a: 28_310 }]);
  });

  it('keeps the plan that its recipe came from, with its parts', async () => {
    const plan = {
      parts: [{ name: 'Fluted bell lampshade', pieces: 1, areaDm2: 12, openShare: 0.2 }],
      bath: 'bright-copper',
      averageThicknessMicrometres: 66,
    };
    const record = await recordOf(await aNight({ ...asked, plan }));
    expect(record.plan).toEqual(plan);
    expect((await recordOf(await aNight())).plan).toBeNull();
  });

  it('is refused a plan that is none, and then no recipe is sent', async () => {
    await expect(aNight({ ...asked, plan: { parts: 'all of them' } })).rejects.toThrow('parts');
  });

  it('goes on counting while the run does', async () => {
    const night = await aNight(asked, false);
    const before = await recordOf(night);
    expect(before).toMatchObject({ endedAtMs: null, endedBecause: null });
    await night.page.trial.pass(100);
    const after = await recordOf(night);
    expect(after.lastedUntilMs - before.lastedUntilMs).toBe(100_000);
  });

  it('tells each alarm with its story and who acknowledged it', async () => {
    const night = await aNight(asked, false);
    const { alarms } = night.page.trial.dashboard;
    const nowMs = night.page.trial.clock.nowMs();
    const id = alarms.raise(
      { controllerId: CONTROLLER, name: 'rotation-stalled', causeAtMs: nowMs, detail: 'no pulse' },
      nowMs,
    )!;
    alarms.acknowledge(id, 'Robin', nowMs + 4000);
    const { alarms: told } = await recordOf(night);
    expect(told).toMatchObject([{ alarm: { name: 'rotation-stalled', acknowledgedBy: 'Robin' } }]);
    const journal = told[0]?.journal ?? [];
    expect(journal[0]).toMatchObject({ what: 'raised', who: 'bath' });
    expect(journal.at(-1)).toMatchObject({ what: 'acknowledged', who: 'Robin' });
  });

  it('has its sums still when the records are gone', async () => {
    const night = await aNight();
    const before = (await recordOf(night)).measures;
    await night.page.trial.pass(120);
    night.page.trial.dashboard.store.database.exec('DELETE FROM raw_records');
    expect((await recordOf(night)).measures).toEqual(before);
  });

  it('counts a record that comes after its sums were kept', async () => {
    const night = await aNight();
    const { bath } = night.page.trial;
    await night.page.trial.pass(120);
    expect((await recordOf(night)).measures).toMatchObject({ recordedSeconds: 600, currentMaxAmps: 26 });
    // Taken in the middle of the run, told after its end.
    const late = recordRow({ first: 601, span: 1, uptime: 93_000, charge: 5_700_000, currentMax: 3000 });
    bath.say('outbox', outbox([late], [], 97_400));
    await night.page.trial.dashboard.settle();
    expect((await recordOf(night)).measures).toMatchObject({ recordedSeconds: 601, currentMaxAmps: 30 });
  });

  it('of a run that is not there says so', async () => {
    const { page, session } = await aNight();
    const answer = await page.ask('GET', `/api/runs/${CONTROLLER}/${String(INCARNATION)}/77`, undefined, session);
    expect(answer).toMatchObject({
      status: 404,
      body: { error: expect.stringContaining('Run 77 of north-bench is not in the logbook') as string },
    });
  });
});
