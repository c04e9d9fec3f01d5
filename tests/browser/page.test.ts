/*
 * The page in a real browser, against canned states: what it shows, what it asks for, how it looks on a phone and on a wide screen.
 * Everything is found by its accessible role and name.
 */
import type { Page } from 'playwright-core';
import { beforeEach, describe, expect, test } from 'vitest';
import { Condition, Permissive, Phase, SupplyKind } from '@bathkeeper/shared-core/control';
import { BringUpStep, pairingText } from '@bathkeeper/shared-core/messages';
import {
  cannedController,
  cannedLive,
  cannedNight,
  cannedSnapshot,
  earlierWarm,
  NIGHT_MS,
  recipe,
  stalled,
  stalledSnapshot,
} from './canned-night.js';
import { conditionWords } from '../../dashboard/page/words/conditions.js';
import { collidingWords, contrastFaults, drawnContrastFaults, overflowingElements, smallTargets } from './eyes.js';
import type { FixtureServer } from './fixture-server.js';
import { PHONE, shot, WIDE } from './open-page.js';
import { eventually, pageRoom } from './page-room.js';

const room = pageRoom();
const { opened } = room;
let server: FixtureServer;
beforeEach(() => {
  ({ server } = room);
});

const simulated = () => cannedSnapshot({ controllers: [cannedController({ isSimulated: true })] });

describe('the door', () => {
  test('the one-time link of a first start lets a passphrase be chosen, and leaves the address', async () => {
    server.door = { state: 'first-start', isSimulated: true };
    server.answer = (asked) => {
      if (asked.path !== '/api/first-start') return undefined;
      server.door = { state: 'open', isSimulated: true };
      return { body: { state: 'open' } };
    };
    server.snapshot = simulated();
    const page = await opened({}, '/first-start?token=one-time');
    await page.getByText('SIMULATED').waitFor();
    await shot(page, 'phone-door-first-start');
    await page.getByLabel('Passphrase').fill('three plain words');
    await page.getByLabel('The same again').fill('three plain wordz');
    await page.getByRole('button', { name: 'Set the passphrase and open' }).click();
    await page.getByRole('alert').getByText('not the same').waitFor();
    expect(server.asked).toEqual([]);
    await page.getByLabel('The same again').fill('three plain words');
    await page.getByRole('button', { name: 'Set the passphrase and open' }).click();
    await page.getByRole('heading', { level: 1, name: /^Plating/ }).waitFor();
    expect(server.asked[0]?.body).toEqual({ token: 'one-time', passphrase: 'three plain words' });
    expect(page.url()).not.toContain('one-time');
  });

  test('without the link a first start tells where to find it', async () => {
    server.door = { state: 'first-start', isSimulated: false };
    const page = await opened();
    await page.getByText('Open the one-time link').waitFor();
    expect(await page.getByRole('textbox').count()).toBe(0);
  });

  test('a wrong passphrase is refused in words, the right one opens', async () => {
    server.door = { state: 'closed', isSimulated: false };
    server.answer = (asked) => {
      if ((asked.body as { passphrase: string }).passphrase !== 'right')
        return { status: 403, body: { error: 'That is not the passphrase.', problems: [] } };
      server.door = { state: 'open', isSimulated: false };
      return { body: { state: 'open' } };
    };
    const page = await opened();
    await page.getByLabel('Passphrase').fill('wrong');
    await page.getByRole('button', { name: 'Open' }).click();
    await page.getByRole('alert').getByText('That is not the passphrase.').waitFor();
    await page.getByLabel('Passphrase').fill('right');
    await page.getByRole('button', { name: 'Open' }).click();
    await page.getByRole('heading', { level: 1, name: /^Plating/ }).waitFor();
  });
});

describe('a night', () => {
  test('shows the state in a sentence, each reading in the section, and the band', async () => {
    const page = await opened();
    await page.getByRole('heading', { level: 1, name: /^Plating, 19\.1 A, 71 of 300 µm, done about/ }).waitFor();
    await page.getByRole('img', { name: /current at the shunt 19\.1 A of 19\.2 A permitted/ }).waitFor();
    await page.getByRole('img', { name: /^Night from/ }).waitFor();
    await page.getByText(/^\s*heard/).waitFor();
    expect(await page.getByText('SIMULATED').count()).toBe(0);
    await shot(page, 'phone-day');
  });

  test('a new state appears without a reload', async () => {
    const page = await opened();
    await page.getByRole('heading', { level: 1, name: /71 of 300/ }).waitFor();
    server.tell(
      cannedSnapshot({ controllers: [cannedController({ live: cannedLive({ chargeAmpereHours: 135.9 }) })] }),
    );
    await page.getByRole('heading', { level: 1, name: /150 of 300/ }).waitFor();
  });

  test('the part turns while pulses come, and stands still when they do not', async () => {
    const page = await opened();
    await page.getByRole('heading', { level: 1, name: /^Plating/ }).waitFor();
    const moving = () =>
      page.evaluate(
        () => document.getAnimations().filter((a) => (a as CSSAnimation).animationName === 'flute-side').length,
      );
    expect(await moving()).toBeGreaterThan(0);
    server.tell(stalledSnapshot());
    await page.getByRole('heading', { level: 1, name: /^The rotation stopped/ }).waitFor();
    expect(await moving()).toBe(0);
  });

  test('nothing moves for those who asked for stillness', async () => {
    const page = await opened({ isStill: true });
    await page.getByRole('heading', { level: 1, name: /^Plating/ }).waitFor();
    expect(await page.evaluate(() => document.getAnimations().length)).toBe(0);
  });

  test('old readings are said to be old and are not marked as wrong now', async () => {
    server.snapshot = cannedSnapshot({
      controllers: [cannedController({ live: cannedLive({ takenAtMs: NIGHT_MS - 8_000 }) })],
    });
    const page = await opened();
    await page.getByText(/^\s*last heard .* these readings are old/).waitFor();
    server.tell(
      cannedSnapshot({
        controllers: [
          cannedController({ live: cannedLive({ takenAtMs: NIGHT_MS - 180_000, conditions: [Condition.bathWarm] }) }),
        ],
      }),
    );
    await page.getByRole('heading', { level: 1, name: /^Nothing is heard from the bath\. Last known at/ }).waitFor();
    await page.getByRole('img', { name: /nothing is marked/ }).waitFor();
    await shot(page, 'phone-lost');
  });

  test('a lost line to the dashboard is said, and found again by itself', async () => {
    const page = await opened();
    await page.getByRole('heading', { level: 1, name: /^Plating/ }).waitFor();
    server.goSilent();
    await page.getByRole('alert').getByText('No connection to the dashboard').waitFor();
    await page.getByRole('heading', { level: 1, name: /^No connection to the dashboard\. Last known at/ }).waitFor();
    server.tell(cannedSnapshot());
    await page.getByRole('heading', { level: 1, name: /^Plating/ }).waitFor({ timeout: 20_000 });
  });

  test('the band is read under a finger and as a table', async () => {
    const page = await opened({ size: WIDE });
    const band = page.getByRole('img', { name: /^Night from/ });
    await band.scrollIntoViewIfNeeded();
    await band.hover({ position: { x: 120, y: 60 } });
    await page.getByText(/A permitted, bath .*°C/).waitFor();
    await page.getByText('The night as a table').click();
    expect(await page.getByRole('table').getByRole('row').count()).toBe(13);
  });
});

describe('alarms', () => {
  test('an alarm appears with what to do first, is acknowledged, and stays until it returns', async () => {
    const page = await opened();
    await page.getByText('No alarms.').waitFor();
    server.night = cannedNight([stalled, earlierWarm]);
    server.answer = (asked) => {
      if (asked.path !== '/api/alarms/12/acknowledge') return undefined;
      const acknowledged = {
        ...stalled,
        state: 'acknowledged',
        acknowledgedAtMs: NIGHT_MS,
        acknowledgedBy: 'page',
      } as const;
      server.tell({ ...stalledSnapshot(), alarms: [acknowledged, earlierWarm] });
      return { body: acknowledged };
    };
    server.tell(stalledSnapshot());
    const alarms = page.getByRole('region', { name: 'Alarms' });
    await alarms.getByText(/Look whether the part still turns/).waitFor();
    await alarms.getByText(/No pulse for 23 s/).waitFor();
    await page.getByRole('img', { name: /marked: the rotation stopped/ }).waitFor();
    await shot(page, 'phone-alarm');
    await alarms.getByRole('button', { name: 'Acknowledge: Rotation stopped' }).click();
    await alarms.getByText('active, acknowledged').waitFor();
    expect(await alarms.getByRole('button', { name: /^Acknowledge/ }).count()).toBe(0);
  });

  test('a mark on the band opens its story from the keyboard', async () => {
    server.night = cannedNight([stalled, earlierWarm]);
    server.snapshot = stalledSnapshot();
    const page = await opened({ size: WIDE });
    const mark = page.getByRole('button', { name: /^Alarm at .*: Current off its permitted value/ });
    await mark.focus();
    await page.keyboard.press('Enter');
    const story = page.getByRole('dialog', { name: /Story of the alarm/ });
    await story
      .getByRole('listitem')
      .getByText(/returned to normal$/)
      .waitFor();
    await shot(page, 'wide-story', false);
    await page.keyboard.press('Escape');
    await story.waitFor({ state: 'detached' });
  });

  test('a refusal to acknowledge is shown in its words', async () => {
    server.snapshot = stalledSnapshot();
    server.answer = () => ({ status: 404, body: { error: 'There is no such alarm.', problems: [] } });
    const page = await opened();
    await page.getByRole('button', { name: 'Acknowledge: Rotation stopped' }).click();
    await page.getByText('There is no such alarm.').waitFor();
  });
});

describe('hold and stop', () => {
  test.each([
    ['hold', 'Hold', 'Hold reached the bath: 3.6 A keep-alive, contactor closed.'],
    ['stop', 'Stop', 'Stop reached the bath: the contactor is open.'],
  ])('%s asks once, sends, and says what became of it', async (kind, name, words) => {
    const command = { commandId: 1, kind, askedAtMs: NIGHT_MS, state: 'sent', words: 'On its way to the bath.' };
    server.answer = () => ({ body: command });
    const page = await opened();
    await page.getByRole('button', { name, exact: true }).click();
    const question = page.getByRole('dialog');
    await question.getByRole('button', { name: 'Leave it running' }).click();
    await question.waitFor({ state: 'detached' });
    expect(server.asked).toEqual([]);
    await page.getByRole('button', { name, exact: true }).click();
    await shot(page, `phone-${kind}-question`, false);
    await page.getByRole('dialog').getByRole('button', { name, exact: true }).click();
    await page.getByText('On its way to the bath.').waitFor();
    expect(server.asked[0]).toMatchObject({ path: '/api/controllers/north-bench/commands', body: { kind } });
    server.tell(
      cannedSnapshot({
        controllers: [cannedController({ commands: [{ ...command, state: 'done', words } as never] })],
      }),
    );
    await page.getByText(words).waitFor();
    // A minute later the dashboard lists it no more; what happened stays on the page.
    server.tell(cannedSnapshot({ controllers: [cannedController({ live: cannedLive({ cathodeCurrentAmps: 3.6 }) })] }));
    await page.getByRole('heading', { level: 1, name: /3\.6 A/ }).waitFor();
    expect(await page.getByText(words).count()).toBe(1);
  });

  test('both are dull when nothing runs', async () => {
    server.snapshot = cannedSnapshot({
      controllers: [cannedController({ live: cannedLive({ phase: Phase.idle, isContactorClosed: false }), run: null })],
    });
    const page = await opened();
    await page.getByRole('heading', { level: 1, name: /^Idle/ }).waitFor();
    expect(await page.getByRole('button', { name: 'Hold' }).isDisabled()).toBe(true);
    expect(await page.getByRole('button', { name: 'Stop' }).isDisabled()).toBe(true);
    await shot(page, 'phone-idle');
  });
});

describe('easing the current', () => {
  test('asks for amperes, refuses to raise, sends, waits for the bath and says what came of it', async () => {
    const command = {
      commandId: 5,
      kind: 'lower',
      askedAtMs: NIGHT_MS,
      state: 'sent',
      words: 'On its way to the bath.',
    };
    server.answer = () => ({ body: command });
    const page = await opened();
    await page.getByRole('button', { name: 'Ease the current…' }).click();
    const dialog = page.getByRole('dialog', { name: 'Ease the current?' });
    const field = dialog.getByRole('textbox', { name: /^At most, in amperes/ });
    await field.fill('25');
    await dialog.getByRole('button', { name: 'Ease', exact: true }).click();
    await dialog
      .getByRole('alert')
      .getByText(/it can only be lowered, got 25\.0/)
      .waitFor();
    expect(server.asked).toEqual([]);
    await shot(page, 'phone-ease', false);
    await field.fill('12,5');
    await dialog.getByRole('button', { name: 'Ease to 12.5\u00a0A' }).click();
    await page.getByText('Ease, sent, waiting for the bath').waitFor();
    expect(server.asked[0]).toMatchObject({ body: { kind: 'lower', toAmps: 12.5 } });
    const words = 'The bath has lowered its current.';
    server.tell(
      cannedSnapshot({
        controllers: [
          cannedController({
            live: cannedLive({ loweredToAmps: 12.5, permittedAmps: 12.5, cathodeCurrentAmps: 12.4 }),
            commands: [{ ...command, state: 'done', words } as never],
          }),
        ],
      }),
    );
    await page.getByText(`Ease, done: ${words}`).waitFor();
    await page.getByRole('heading', { level: 1, name: /eased to 12\.5/ }).waitFor();
  });

  test('is not offered for a supply that a person sets', async () => {
    server.snapshot = cannedSnapshot({
      controllers: [cannedController({ live: cannedLive({ supplyKind: SupplyKind.byHand }) })],
    });
    const page = await opened();
    await page.getByRole('heading', { level: 1, name: /^Plating/ }).waitFor();
    expect(await page.getByRole('button', { name: 'Ease the current…' }).count()).toBe(0);
    expect(await page.getByRole('button', { name: 'Hold', exact: true }).isDisabled()).toBe(true);
  });
});

describe('at the bath', () => {
  const ready = (missing: readonly number[], supplyKind: SupplyKind = SupplyKind.analogue) =>
    cannedSnapshot({
      controllers: [
        cannedController({
          live: cannedLive({
            phase: Phase.ready,
            isContactorClosed: false,
            cathodeCurrentAmps: 0,
            terminalVolts: 0.02,
            permissivesMissing: missing,
            supplyKind,
          }),
          run: null,
          waitingRecipe: recipe,
        }),
      ],
    });
  const now = (page: Page) => page.getByRole('region', { name: 'Waits for the press' }).locator('[aria-current=step]');

  test('the steps of a start follow the alert latch through its test', async () => {
    server.snapshot = ready([Permissive.alertLatchClosed, Permissive.alertLatchProven, Permissive.rotationSeen]);
    const page = await opened();
    await now(page).getByText('Check that the shaft turns').waitFor();
    await shot(page, 'phone-steps');
    server.tell(ready([Permissive.alertLatchClosed, Permissive.alertLatchProven]));
    await now(page).getByText('Press the reset button of the alert latch.').waitFor();
    server.tell(ready([Permissive.alertLatchProven]));
    await now(page).getByText('Wait for the test').waitFor();
    server.tell(ready([Permissive.alertLatchClosed]));
    await now(page).getByText('once more').waitFor();
    server.tell(ready([]));
    await now(page).getByText('Press start at the bath.').waitFor();
  });

  test('before a run with a supply set by hand it says what such a supply cannot do', async () => {
    server.snapshot = ready([], SupplyKind.byHand);
    const page = await opened();
    await page.getByText('Derate and hold need a supply that the controller can set').waitFor();
  });

  test('the current to be set by hand stands large, until it is set', async () => {
    const ramp = (cathodeCurrentAmps: number) =>
      cannedSnapshot({
        controllers: [
          cannedController({
            live: cannedLive({
              phase: Phase.ramp,
              supplyKind: SupplyKind.byHand,
              permittedAmps: 12.4,
              cathodeCurrentAmps,
            }),
          }),
        ],
      });
    server.snapshot = ramp(10.5);
    const page = await opened();
    const order = page.getByRole('region', { name: 'At the supply' }).getByText('Set 12.4\u00a0A on the supply');
    await order.waitFor();
    expect(await order.evaluate((element) => parseFloat(getComputedStyle(element).fontSize))).toBeGreaterThanOrEqual(
      28,
    );
    server.tell(ramp(12.3));
    await page.getByText('12.4\u00a0A is set').waitFor();
  });

  test('a part that stands without current is told with what that means for it', async () => {
    server.snapshot = cannedSnapshot({
      controllers: [
        cannedController({
          live: cannedLive({
            phase: Phase.trip,
            phaseSeconds: 300,
            cathodeCurrentAmps: 0,
            isContactorClosed: false,
            conditions: [Condition.emergencyStop],
          }),
        }),
      ],
    });
    const page = await opened();
    const told = page.getByRole('region', { name: 'The part without current' });
    await told.getByText(/stood without current for 5/).waitFor();
    await told.getByText(/may not adhere/).waitFor();
  });

  test('everything at a ringed place is told in the key, with what to check first', async () => {
    server.snapshot = cannedSnapshot({
      controllers: [
        cannedController({
          live: cannedLive({ conditions: [Condition.bathWarm, Condition.bathWillOverheat, Condition.leak] }),
        }),
      ],
    });
    const page = await opened();
    const key = page.getByRole('region', { name: 'Ringed in the section' });
    await key.getByText('Put on gloves and goggles before you go near').waitFor();
    expect(await key.getByRole('definition').count()).toBe(3);
    expect(await key.getByRole('term').allTextContents()).toEqual(['tray', 'probe']);
    await page.getByRole('img', { name: /liquid was seen in the tray; the bath is warm/ }).waitFor();
  });
});

describe('bring-up', () => {
  const at = (bringUp: NonNullable<ReturnType<typeof cannedController>['told']>['bringUp']) =>
    cannedSnapshot({
      controllers: [
        {
          ...cannedController({
            live: cannedLive({ phase: Phase.idle, isContactorClosed: false, cathodeCurrentAmps: 0 }),
          }),
          told: { bringUp, interruptions: [], secondMeansOpened: null },
        },
      ],
    });
  test('is reached from the settings, and ticks a step when the controller tells that it was done', async () => {
    server.snapshot = at([]);
    const page = await opened({}, '/#settings');
    await page.getByRole('link', { name: 'Bring-up of north-bench' }).click();
    await page.getByRole('heading', { level: 1, name: 'Bring-up of north-bench' }).waitFor();
    await page.getByText("controller('north-bench')").waitFor();
    await page.getByText('0 of 11 steps done').waitFor();
    const done = (step: number, a = 0) => ({ step, a, b: 0, atMs: NIGHT_MS });
    server.tell(at([done(BringUpStep.limitsSet), done(BringUpStep.motorTurned, 9), done(BringUpStep.settingsKept)]));
    await page.getByText('3 of 11 steps done').waitFor();
    await page.getByText(/: 9 pulses\.$/).waitFor();
    await page.locator('[aria-current=step]').getByText('Is each sensor there?').waitFor();
    await page
      .getByText(/The controller shows now: 0\.00/)
      .first()
      .waitFor();
    expect(server.asked, 'the page never asks anything of the bath here').toEqual([]);
  });
  test('of a board that is not paired yet it goes by the console, and says so', async () => {
    server.snapshot = cannedSnapshot({ controllers: [] });
    const page = await opened({}, '/#bring-up');
    await page.getByText('It is not paired yet').waitFor();
    expect(await page.getByText('The controller shows now').count()).toBe(0);
  });
});

describe('the recipe', () => {
  const idle = cannedController({
    live: cannedLive({ phase: Phase.idle, isContactorClosed: false, cathodeCurrentAmps: 0 }),
    run: null,
  });
  const planned = [
    { atMs: NIGHT_MS, currentAmps: 3.6, averageThicknessMicrometres: 0 },
    { atMs: NIGHT_MS + 40 * 60_000, currentAmps: 19.2, averageThicknessMicrometres: 8 },
    { atMs: NIGHT_MS + 53_000_000, currentAmps: 19.2, averageThicknessMicrometres: 300 },
  ];

  test('is previewed while it is typed, refused with the limit named, sent, and then waits for the press', async () => {
    server.snapshot = cannedSnapshot({ controllers: [idle] });
    server.answer = (asked) => {
      if (asked.path.endsWith('/preview')) {
        const tooMuch = (asked.body as { areaDm2: number }).areaDm2 > 20;
        return {
          body: {
            recipe,
            refusals: tooMuch ? ['The current of 64.0 A is above this rig’s 31 A: choose a lower density.'] : [],
            cautions: ['Ramp of 30 min on fresh paint: look at the part before full current.'],
            planned,
          },
        };
      }
      server.tell(
        cannedSnapshot({
          controllers: [
            {
              ...idle,
              live: cannedLive({ phase: Phase.ready, permissivesMissing: [Permissive.rotationSeen] }),
              waitingRecipe: recipe,
            },
          ],
        }),
      );
      return { body: { commandId: 2, kind: 'recipe', askedAtMs: NIGHT_MS, state: 'sent', words: 'On its way.' } };
    };
    const page = await opened();
    await page.getByText('New recipe').click();
    await page.getByLabel('Part', { exact: true }).fill('Fluted bell lampshade');
    await page.getByLabel(/^Surface area/).fill('40');
    await page.getByText(/above this rig’s 31 A/).waitFor();
    expect(await page.getByRole('button', { name: 'Send to the bath' }).isDisabled()).toBe(true);
    await page.getByLabel(/^Surface area/).fill('12,0');
    await page.getByRole('img', { name: /^The night ahead/ }).waitFor();
    await page.getByText(/above this rig’s 31 A/).waitFor({ state: 'detached' });
    await page.getByText(/look at the part before full current/).waitFor();
    await shot(page, 'phone-recipe');
    await page.getByRole('button', { name: 'Send to the bath' }).click();
    await page.getByRole('heading', { name: 'Waits for the press at the bath' }).waitFor();
    await page.getByText(/^For any acid copper, 100\s% cathode efficiency\.$/).waitFor();
    await page.getByText('No rotation was seen.', { exact: true }).waitFor();
    await page.getByText(/Check that the shaft turns/).waitFor();
    expect(server.asked.at(-1)).toMatchObject({
      path: '/api/controllers/north-bench/recipe',
      body: { areaDm2: 12, currentDensityAmpsPerDm2: 1.6, averageThicknessMicrometres: 300 },
    });
    await shot(page, 'phone-ready');
  });

  test('what cannot be a number is said at its field, and nothing is sent', async () => {
    server.snapshot = cannedSnapshot({ controllers: [idle] });
    const page = await opened();
    await page.getByText('New recipe').click();
    await page.getByLabel(/^Surface area/).fill('twelve');
    await page.getByRole('button', { name: 'Send to the bath' }).click();
    await page.getByText(/got “twelve”/).waitFor();
    await page.getByText(/Give the part a name/).waitFor();
    expect(server.asked).toEqual([]);
  });
});

describe('a simulated bath', () => {
  test('says SIMULATED on every screen and has the buttons that hang at a real one', async () => {
    server.door = { state: 'open', isSimulated: true };
    server.snapshot = simulated();
    server.answer = () => ({ body: {} });
    const page = await opened();
    await page.getByRole('note').getByText('SIMULATED').waitFor();
    for (const [name, button] of [
      ['Press start', 'start'],
      ['Press the emergency stop', 'emergency-stop'],
      ['Reset the alert latch', 'latch-reset'],
    ] as const) {
      await page.getByRole('button', { name }).click();
      await page.getByText(`${name}: pressed.`).waitFor();
      expect(server.asked.at(-1)).toMatchObject({
        path: '/api/controllers/north-bench/simulated-press',
        body: { button },
      });
    }
    await page.getByRole('link', { name: 'Settings' }).click();
    await page.getByRole('heading', { level: 1, name: 'Settings' }).waitFor();
    expect(await page.getByRole('note').getByText('SIMULATED').count()).toBe(1);
  });
});

describe('settings', () => {
  test('a controller is paired with the secret from its console, which is not kept on the page', async () => {
    server.answer = () => ({
      body: { controllerId: 'south-bench', address: '192.0.2.7', port: 1883, signOfLifePort: 41883 },
    });
    const secretText = pairingText('3e'.repeat(32));
    const page = await opened({}, '/#settings');
    await page.getByLabel(/^Controller's name/).fill('south-bench');
    await page.getByLabel(/^Bath's name/).fill('Copper 20 L');
    await page.getByLabel(/^Secret from its console/).fill(secretText.slice(1));
    expect(await page.getByText('Every group of the secret fits').count()).toBe(0);
    await page.getByLabel(/^Secret from its console/).fill(secretText);
    await page.getByText('Every group of the secret fits').waitFor();
    await page.getByRole('button', { name: 'Pair' }).click();
    await page.getByText('192.0.2.7').waitFor();
    expect(server.asked[0]?.body).toEqual({ controllerId: 'south-bench', bathName: 'Copper 20 L', secretText });
    expect(await page.getByLabel(/^Secret from its console/).inputValue()).toBe('');
  });

  test('signing out closes the door', async () => {
    server.answer = () => {
      server.door = { state: 'closed', isSimulated: false };
      return { body: { state: 'closed' } };
    };
    const page = await opened({}, '/#settings');
    await page.getByRole('button', { name: 'Sign out' }).click();
    await page.getByLabel('Passphrase').waitFor();
    expect(await page.getByText('Copper 60 L').count()).toBe(0);
  });
});

describe('the look', () => {
  const trip = cannedSnapshot({
    controllers: [
      cannedController({
        isSimulated: true,
        live: cannedLive({
          phase: Phase.trip,
          phaseSeconds: 95,
          cathodeCurrentAmps: null,
          isContactorClosed: false,
          conditions: Object.values(Condition),
        }),
      }),
    ],
    alarms: [stalled, { ...stalled, alarmId: 13, state: 'returned-unacknowledged' }, earlierWarm],
    notices: [
      'Port 1883 for controllers was taken: they are expected on 1884. Free it, or write the new port to each board.',
    ],
  });

  /** What a bad night may bring at once: a run that goes on, with six things wrong. */
  const six = cannedSnapshot({
    controllers: [
      cannedController({
        live: cannedLive({
          cathodeCurrentAmps: 9.42,
          terminalVolts: 5.81,
          permittedAmps: 9.6,
          derateFraction: 0.5,
          secondsSinceRotationPulse: 412,
          conditions: [
            Condition.rotationStopped,
            Condition.rotationGivenUp,
            Condition.anodePassivating,
            Condition.bathWillOverheat,
            Condition.clipHot,
            Condition.memoryFault,
          ],
        }),
      }),
    ],
    alarms: [stalled],
  });
  /** Nothing can be stopped from here: what there is to see then. */
  const danger = cannedSnapshot({
    controllers: [
      {
        ...cannedController({
          live: cannedLive({
            phase: Phase.trip,
            phaseSeconds: 40,
            cathodeCurrentAmps: 19.3,
            isContactorClosed: false,
            conditions: [Condition.shortCircuit, Condition.currentDoesNotFall, Condition.contactorContradicts],
          }),
        }),
        told: {
          bringUp: [],
          interruptions: [
            { atMs: NIGHT_MS - 3_600_000, seconds: 40 },
            { atMs: NIGHT_MS - 1_800_000, seconds: 900 },
          ],
          secondMeansOpened: { atMs: NIGHT_MS - 35_000, condition: Condition.currentDoesNotFall },
        },
      },
    ],
  });
  const byHand = cannedSnapshot({
    controllers: [
      cannedController({
        live: cannedLive({
          phase: Phase.ramp,
          rampState: 1,
          supplyKind: SupplyKind.byHand,
          cathodeCurrentAmps: 10.5,
          permittedAmps: 12.4,
        }),
      }),
    ],
  });

  test.each([
    ['a good night', cannedSnapshot()],
    ['six things wrong', six],
    ['everything wrong', trip],
    ['a contactor that does not open', danger],
    ['readings of a lost bath', cannedSnapshot({ controllers: [cannedController({ isOnline: false })] })],
  ] as const)('in the section of %s no word lies over another and every one has contrast', async (_name, snapshot) => {
    server.snapshot = snapshot;
    // The narrowest drawing has the least room; a wide one is the same, larger.
    for (const look of ['light', 'dark'] as const) {
      const page = await opened({ size: PHONE, look, isStill: true });
      await page.getByRole('img', { name: /^Section through the tank/ }).waitFor();
      expect(await collidingWords(page, 'svg.section'), look).toEqual([]);
      expect(await drawnContrastFaults(page, 'svg.section'), look).toEqual([]);
      await page.context().close();
    }
  });

  test('no word lies over another whichever is the worst at each place, with all others counted behind it', async () => {
    server.snapshot = trip;
    const page = await opened({ isStill: true });
    await page.getByRole('img', { name: /^Section through the tank/ }).waitFor();
    const marksAt: Record<string, string[]> = {};
    for (const { place, mark, gravity } of Object.values(conditionWords)) {
      if (gravity !== 'note') (marksAt[place] ??= []).push(mark);
    }
    const longest: Record<string, string> = {};
    for (const [place, marks] of Object.entries(marksAt)) {
      const word = [...marks].sort((a, b) => b.length - a.length)[0]!;
      longest[place] = marks.length > 1 ? `${word} +${String(marks.length - 1)}` : word;
    }
    const rung = await page.evaluate((marks) => {
      const rings = [...document.querySelectorAll<SVGGElement>('svg.section .ring')];
      for (const ring of rings) {
        ring.querySelector(':scope > text')!.textContent = marks[ring.dataset.place ?? ''] ?? '';
      }
      return rings.map((ring) => ring.dataset.place ?? '');
    }, longest);
    expect(rung.sort()).toEqual(Object.keys(longest).sort());
    expect(await collidingWords(page, 'svg.section')).toEqual([]);
  });

  describe.each([
    ['a phone', PHONE],
    ['a wide screen', WIDE],
  ] as const)('on %s', (name, size) => {
    test.each(['light', 'dark'] as const)(
      'in %s nothing overflows, every word has contrast, every target fits a finger',
      async (look) => {
        server.night = cannedNight([stalled, earlierWarm]);
        server.door = { state: 'open', isSimulated: true };
        for (const [scene, snapshot] of [
          ['plating', cannedSnapshot()],
          ['trip', trip],
          ['six', six],
          ['danger', danger],
          ['by-hand', byHand],
        ] as const) {
          server.snapshot = snapshot;
          const page = await opened({ size, look, isStill: true });
          await page.getByRole('img', { name: /^Night from/ }).waitFor();
          await page.getByText('New recipe').click();
          await page.getByText('Strike, ramp, rotation').click();
          await shot(page, `${name.split(' ').at(-1) ?? ''}-${look}-${scene}`);
          expect(await overflowingElements(page), `${scene}: wider than the screen`).toEqual([]);
          expect(await contrastFaults(page), `${scene}: contrast under 4.5 (3 for large words)`).toEqual([]);
          expect(await smallTargets(page), `${scene}: targets under 44 px`).toEqual([]);
          await page.context().close();
        }
        const page = await opened({ size, look, isStill: true }, '/#settings');
        for (const [screen, title] of [
          ['settings', 'Settings'],
          ['bring-up/north-bench', 'Bring-up of north-bench'],
        ] as const) {
          await page.goto(`${server.address}/#${screen}`);
          await page.getByRole('heading', { level: 1, name: title }).waitFor();
          await shot(page, `${name.split(' ').at(-1) ?? ''}-${look}-${screen.split('/')[0] ?? ''}`);
          expect(await overflowingElements(page), screen).toEqual([]);
          expect(await contrastFaults(page), screen).toEqual([]);
          expect(await smallTargets(page), screen).toEqual([]);
        }
      },
    );
  });

  test('the light of the page is switched by hand, kept on this device, and given back to it', async () => {
    const page = await opened({ look: 'light' });
    const paper = () => page.evaluate(() => getComputedStyle(document.body).backgroundColor);
    const light = page.getByRole('combobox', { name: 'Light' });
    await light.waitFor();
    const byDay = await paper();
    await light.selectOption('By night');
    await eventually(paper).not.toBe(byDay);
    const byNight = await paper();
    await page.reload();
    await light.waitFor();
    expect(await paper()).toBe(byNight);
    await light.selectOption('As the device');
    await eventually(paper).toBe(byDay);
    await page.emulateMedia({ colorScheme: 'dark' });
    await eventually(paper).toBe(byNight);
  });
});
