/* A plan's night on the virtual bath, asked from the page: the bundle that is flashed plays it in a thread; what goes wrong is told as the controller told it. */
import { describe, expect, it, test } from 'vitest';
import { Phase } from '@bathkeeper/shared-core/control';
import type { PlanRequest, RehearsalDeskView, RehearsalView } from '@bathkeeper/shared-core/trade';
import { faultKinds } from '@bathkeeper/firmware/bench';
import { openRehearsalDesk } from '../../../../dashboard/server/virtual-bath/rehearsal-desk.js';
import { rehearsalFaults } from '../../../../dashboard/server/virtual-bath/rehearsal-faults.js';
import { type NightOfPlan, nightOfPlan } from '../../../../dashboard/server/virtual-bath/rehearsal-night.js';
import { rehearsalResult } from '../../../../dashboard/server/virtual-bath/rehearsal-result.js';
import { rehearsedNight } from '../../../../dashboard/server/virtual-bath/rehearsed-night.js';
import { planned } from '../../../shared-core/trade/plan/requests.js';
import { CONTROLLER } from '../dashboard-on-trial.js';
import { letIn, pageOnTrial } from '../page-on-trial.js';

/** An hour or two: plated for some forty minutes, then the finish. */
const shortNight: PlanRequest = {
  parts: [{ name: 'leaf', pieces: 3, areaDm2: 1, areaFrom: 'typed in' }],
  bath: 'bright-copper',
  averageThicknessMicrometres: 20,
  currentDensityAmpsPerDm2: 2,
  bathCelsius: 22,
  roomCelsius: 20,
  tank: { litres: 30 },
  strikeMinutes: 2,
  rampMinutes: 5,
};

function night(
  faults: Parameters<typeof nightOfPlan>[2] = [],
  request = shortNight,
  limits: Parameters<typeof nightOfPlan>[1] = null,
): NightOfPlan {
  const found = nightOfPlan(planned(request), limits, faults);
  if ('refusals' in found) throw new Error(found.refusals.join(' '));
  return found;
}

function played(asked: NightOfPlan): ReturnType<typeof rehearsalResult> {
  return rehearsalResult(
    asked,
    rehearsedNight(asked.night, () => undefined),
  );
}

describe('a rehearsed night', () => {
  it('without a fault ends as planned, with the charge and the thickness of the plan', () => {
    const asked = night();
    const { charge, result } = { charge: asked.preview.recipe.chargeAmpereHours, result: played(asked) };
    expect(result).toMatchObject({ isAsPlanned: true, ended: expect.stringMatching(/^It ended as planned/) as string, notes: [], metal: 'copper' }); // prettier-ignore
    expect(result.chargeAmpereHours.planned).toBe(charge);
    // What the finish adds is on top.
    const finishAmpereHours = asked.preview.recipe.finishAmps * (asked.preview.recipe.finishSeconds / 3600);
    expect(result.chargeAmpereHours.played).toBeGreaterThan(charge * 0.999);
    expect(result.chargeAmpereHours.played).toBeLessThan((charge + finishAmpereHours) * 1.01);
    expect(result.averageThicknessMicrometres.played / result.averageThicknessMicrometres.planned).toBeCloseTo(result.chargeAmpereHours.played / charge, 6); // prettier-ignore
    expect(Math.abs(result.hours.played / result.hours.planned - 1)).toBeLessThan(0.05);
    const told = result.told.map(({ words }) => words);
    const steps = ['Strike begins.', 'The ramp begins.', 'Full current.', 'Done: the contactor is open.'];
    expect(told.filter((words) => steps.includes(words))).toEqual(steps);
    expect(result.told.some(({ isGrave }) => isGrave)).toBe(false);
    expect(result.phases.map(({ phase }) => phase).slice(-4)).toEqual([Phase.ramp, Phase.plate, Phase.finish, Phase.done]); // prettier-ignore
    expect(result.points.length).toBeGreaterThan(100);
    expect(Math.max(...result.points.map(({ currentAmps }) => currentAmps))).toBeGreaterThan(5.9);
  });

  it('is the same night again', () => {
    expect(played(night([{ name: 'rotation-stall', afterMinutes: 10 }]))).toEqual(
      played(night([{ name: 'rotation-stall', afterMinutes: 10 }])),
    );
  });

  it('in which the emergency stop is pressed trips at that minute, and says why', () => {
    const result = played(night([{ name: 'emergency-stop', afterMinutes: 20, minutes: 5 }]));
    expect(result.ended).toBe('It tripped: the emergency stop was pressed. The contactor is open until somebody resets it at the bath.'); // prettier-ignore
    expect(result.isAsPlanned).toBe(false);
    expect(result.hours.played).toBeCloseTo(20 / 60, 2);
    const trip = result.told.find(({ words }) => words.startsWith('Tripped'));
    expect(trip).toMatchObject({ isGrave: true });
    expect(trip!.afterHours).toBeCloseTo(20 / 60, 2);
    expect(result.chargeAmpereHours.played).toBeLessThan(result.chargeAmpereHours.planned / 2);
  });

  it('whose clip lets go is held, and nobody comes', () => {
    const result = played(
      night([{ name: 'contact-loss', afterMinutes: 15 }], {
        ...shortNight,
        parts: [{ name: 'bell', pieces: 1, areaDm2: 12 }],
      }),
    );
    expect(result.ended).toMatch(/^It is held: contact lost.*Only a press at the bath goes on\.$/);
    expect(result.told.filter(({ isGrave }) => isGrave).map(({ words }) => words.slice(0, 4))).toEqual(['Cont', 'Held']); // prettier-ignore
  });

  it('whose network is gone to its end is heard of all the same, once it is over', () => {
    const result = played(night([{ name: 'network-loss', afterMinutes: 5 }]));
    expect(result.isAsPlanned).toBe(true);
    expect(result.told.at(-1)?.words).toMatch(/^Done/);
  });

  it('tells of a contact as of one that is fitted', () => {
    expect(played(night([{ name: 'leak', afterMinutes: 12 }])).ended).toMatch(/^It tripped: liquid was seen/);
  });

  it('says what it did not play', () => {
    const result = played(
      night([
        { name: 'emergency-stop', afterMinutes: 10 },
        { name: 'contact-loss', afterMinutes: 50 },
      ]),
    );
    expect(result.faults).toEqual([{ words: 'Somebody presses the emergency stop', afterHours: 10 / 60 }]);
    expect(result.notes).toEqual(['Not played, since the night was over by then: A clip lets go of the part.']);
  });

  it('of another metal has its charge, and says that the rest is copper’s', () => {
    const warm = { currentAmpsMax: 35, terminalVoltsMax: 8, bathCelsiusMax: 80, runSecondsMax: 50_400 };
    const result = played(night([], { ...shortNight, bath: 'watts-nickel', bathCelsius: 50 }, warm));
    expect(result).toMatchObject({ metal: 'nickel', isAsPlanned: true });
    expect(result.notes.join()).toMatch(/nickel is computed from it.*no heater/s);
  });

  it('on a rig of 120 A carries what the rig may carry', () => {
    const large = { currentAmpsMax: 120, terminalVoltsMax: 8, bathCelsiusMax: 40, runSecondsMax: 50_400 };
    const result = played(night([], { ...shortNight, parts: [{ name: 'bowl', pieces: 1, areaDm2: 45 }], tank: { litres: 600 } }, large)); // prettier-ignore
    expect(result.isAsPlanned).toBe(true);
    const most = Math.max(...result.points.map(({ currentAmps }) => currentAmps));
    expect(most).toBeGreaterThan(88);
    expect(most).toBeLessThan(95);
  });

  it('is refused as the rig refuses the recipe', () => {
    const small = { currentAmpsMax: 5, terminalVoltsMax: 8, bathCelsiusMax: 40, runSecondsMax: 50_400 };
    expect(nightOfPlan(planned(shortNight), small, [])).toEqual({ refusals: [expect.stringMatching(/at most 5 A on this rig, got 6 A/)] }); // prettier-ignore
    expect(nightOfPlan(planned(shortNight), null, [{ name: 'ghost', afterMinutes: 1 }])).toEqual({ refusals: [expect.stringMatching(/no fault called "ghost"/)] }); // prettier-ignore
  });
});

test.each(rehearsalFaults)('$name begins in the bath', ({ name, isMomentary }) => {
  expect(faultKinds[name].scope).toBe('bath');
  expect(faultKinds[name].end === undefined).toBe(isMomentary === true);
});

describe('the desk of rehearsals', () => {
  it('plays in a thread, tells how far it is, one at a time', async () => {
    const desk = openRehearsalDesk((fault) => {
      throw fault;
    });
    const started = desk.start(night());
    expect(started).toMatchObject({ state: 'running', share: 0, parts: '3 × leaf' });
    expect(desk.start(night())).toBeUndefined();
    await desk.settled();
    expect(desk.newest).toMatchObject({ state: 'done', share: 1, problem: null, result: { isAsPlanned: true } });
    expect(desk.start(night())).toMatchObject({ rehearsalId: 2, state: 'running' });
    expect(desk.cancel()).toMatchObject({ state: 'cancelled', result: null });
    await desk.settled();
    expect(desk.newest).toMatchObject({ state: 'cancelled', result: null });
  });

  it('says so when the thread cannot be started, and takes the next', async () => {
    const faults: unknown[] = [];
    const desk = openRehearsalDesk((fault) => faults.push(fault), '/nowhere/rehearsal-worker.js');
    desk.start(night());
    await desk.settled();
    expect(desk.newest).toMatchObject({ state: 'failed', problem: expect.stringMatching(/could not be played: .*Try it again/s) as string }); // prettier-ignore
    expect(faults).toHaveLength(1);
    expect(desk.start(night())).toMatchObject({ rehearsalId: 2 });
    await desk.settled();
  });
});

describe('the page', () => {
  it('chooses faults in plain words, starts a rehearsal, asks for it and cancels it, behind the door', async () => {
    const page = await pageOnTrial();
    expect((await page.ask('GET', '/api/rehearsal')).status).toBe(401);
    const session = await letIn(page);
    const ask = async (
      method: string,
      body?: unknown,
    ): Promise<{ status: number; view: RehearsalDeskView; error: string }> => {
      // prettier-ignore
      const answer = await page.ask(method, '/api/rehearsal', body, session);
      return { status: answer.status, view: answer.body as unknown as RehearsalDeskView, error: JSON.stringify(answer.body) }; // prettier-ignore
    };
    const first = await ask('GET');
    expect(first.view.newest).toBeNull();
    expect(first.view.choices[0]).toEqual({ name: 'rotation-stall', words: 'The part stops turning', isMomentary: false }); // prettier-ignore

    const asked = { request: shortNight, controllerId: CONTROLLER, faults: [{ name: 'leak', afterMinutes: 3 }] };
    for (const [change, status, words] of [
      [{ controllerId: 'nobody' }, 404, /No controller .*nobody.* is paired/],
      [{ request: { ...shortNight, parts: [] } }, 400, /parts: expected at least one entry, got a list of 0/],
      [{ faults: [{ name: 'ghost', afterMinutes: 1 }] }, 422, /no fault called/],
      [{ faults: [{ name: 'leak', afterMinutes: -1 }] }, 400, /faults\.0\.afterMinutes/],
      [{ request: { ...shortNight, currentDensityAmpsPerDm2: 90 } }, 422, /at most 35 A on this rig/],
    ] as const) {
      const refused = await ask('POST', { ...asked, ...change });
      expect(refused.status).toBe(status);
      expect(refused.error).toMatch(words);
    }
    expect((await ask('GET')).view.newest).toBeNull();

    expect((await ask('POST', asked)).view.newest).toMatchObject({ state: 'running' });
    const second = await ask('POST', asked);
    if (second.status !== 200) expect(second.error).toMatch(/A rehearsal is going on\. Wait/);
    expect((await ask('DELETE')).view.newest).toMatchObject({ state: expect.stringMatching(/cancelled|done/) as string } satisfies Partial<Record<keyof RehearsalView, unknown>>); // prettier-ignore
  });
});
