/* A short night that a bath tells the dashboard: start, strike, plate, an interruption, the end. Called by the tests of the logbook. */
import { Condition, EventKind, Phase } from '@bathkeeper/shared-core/control';
import { BringUpStep } from '@bathkeeper/shared-core/messages';
import { CONTROLLER } from '../dashboard-on-trial.js';
import { letIn, type Page, pageOnTrial } from '../page-on-trial.js';
import { eventRow, INCARNATION, liveMessage, outbox, recordRow } from '../quiet-bath.js';

export const RUN = `/api/runs/${CONTROLLER}/${String(INCARNATION)}/1`;

export const asked = {
  partName: 'Fluted bell lampshade',
  areaDm2: 12,
  currentDensityAmpsPerDm2: 1.6,
  chargeAmpereHours: 60,
  bath: 'bright-copper',
};

export interface Night {
  readonly page: Page;
  readonly session: Record<string, string>;
}

/** Records of 19 A and 2.1 V at 24 °C, ten minutes of them; the current stood for 90 s in between. `isOver`: it ended by its charge. */
export async function aNight(recipe: object = asked, isOver = true): Promise<Night> {
  const page = await pageOnTrial();
  const session = await letIn(page);
  const { bath } = page.trial;
  bath.say('live', liveMessage({ phase: Phase.ready, recipeId: 0, run: 0 }, 90_000));
  await page.trial.dashboard.settle();
  const sent = await page.ask('POST', `/api/controllers/${CONTROLLER}/recipe`, recipe, session);
  if (sent.status !== 200) throw new Error(`the recipe was refused: ${JSON.stringify(sent.body)}`);
  // Sixty rows of ten seconds, as after a short outage.
  const records = Array.from({ length: 60 }, (_, row) =>
    recordRow({
      first: 10 * row + 1,
      span: 10,
      uptime: 90_000 + 10 * (10 * row + 9),
      charge: 190_000 * (row + 1),
      ...(row === 30 ? { currentMax: 2600 } : {}),
    }),
  );
  const at = (second: number): number => 90_000 + 10 * second;
  const event = (sequence: number, second: number, kind: number, code: number, a = 0, b = 0, run = 1): number[] =>
    eventRow({ sequence, uptime: at(second), kind, code, a, b, run });
  const events = [
    event(1, -600, EventKind.bringUpDone, BringUpStep.currentCalibrated, 28_310, 0, 0),
    event(2, 0, EventKind.runStarted, 0, 1, 1),
    event(3, 0, EventKind.phaseEntered, Phase.strike),
    event(4, 60, EventKind.phaseEntered, Phase.plate),
    event(5, 390, EventKind.interruption, 0, 90),
    ...(isOver
      ? [
          event(6, 600, EventKind.runEnded, Condition.chargeReached, 11_400, 600),
          event(7, 600, EventKind.phaseEntered, Phase.done, Phase.plate, 11_400),
        ]
      : []),
  ];
  bath.say('outbox', outbox(records, events, at(620)));
  await page.trial.dashboard.settle();
  return { page, session };
}
