/*
 * The routes of alarms: acknowledge, one alarm however old it is, shelve, out of service, what is silent, the journal, the figures of a night. Mounted below
 * /api, behind the door: who has the passphrase is the owner, and nobody else gets here. What is refused is told with every reason at once.
 */
import { type Request, Router } from 'express';
import { z } from 'zod';
import type { AlarmName } from '@bathkeeper/shared-core/messages';
import { ON_THE_PAGE } from '@bathkeeper/shared-core/watch';
import type { Dashboard } from '../dashboard.js';
import { HOUSE } from '../watch/alarm-announcing.js';
import { JOURNAL_COUNT_MAX } from '../watch/alarm-journal.js';
import type { SilenceAnswer } from '../watch/alarm-list.js';
import { alarmTexts } from '../watch/alarm-texts.js';
import { importedStory } from '../watch/imported-alarms.js';
import { by, whoOf } from './by-whom.js';
import { checked, Refused } from './refusal.js';

/** Stands for the house itself in an address; no controller can be called so. */
const HOUSE_ID = '-';
const JOURNAL_COUNT = 100;
const NIGHT_MS = 12 * 3_600_000;
const FIGURES_DAYS_MAX = 366;

// What a reason and a time must be is said by the rule itself, in its own words.
const shelveRequest = z.object({ reason: z.string().max(2000), minutes: z.number(), by }).strict();
const outOfServiceRequest = z.object({ reason: z.string().max(2000), by }).strict();

const isAlarmName = (name: string): name is AlarmName => Object.hasOwn(alarmTexts, name);

export function alarmRoutes(dashboard: Dashboard): Router {
  const { alarms, book, clock, store } = dashboard;
  const router = Router();

  const controllerIn = (id: unknown): string => {
    const controllerId = String(id);
    if (controllerId === HOUSE_ID) return HOUSE;
    if (!book.has(controllerId))
      throw new Refused(404, `No controller "${controllerId}" is paired. Choose another bath.`);
    return controllerId;
  };
  const nameIn = (name: unknown): AlarmName => {
    const wanted = String(name);
    if (isAlarmName(wanted)) return wanted;
    throw new Refused(404, `There is no alarm "${wanted}". Expected one of ${Object.keys(alarmTexts).join(', ')}.`);
  };
  /** A whole number of the query; `usual` where it was left out. */
  const numberIn = (
    request: Request,
    name: string,
    usual: number,
    [least, most]: readonly [number, number],
  ): number => {
    const asked = request.query[name];
    if (asked === undefined || asked === '') return usual;
    const value = Number(asked);
    if (Number.isInteger(value) && value >= least && value <= most) return value;
    const expected = `expected a whole number from ${String(least)} to ${String(most)}`;
    throw new Refused(400, `${name}: ${expected}, got ${JSON.stringify(asked)}.`);
  };
  const granted = (answer: SilenceAnswer, refusal: string): object => {
    if ('faults' in answer) throw new Refused(422, refusal, answer.faults);
    return answer;
  };

  router.get('/alarms/journal', (request, response) => {
    const { controller, alarm } = request.query;
    const asked = typeof alarm === 'string' && alarm !== '' ? alarm : undefined;
    const alarmId = asked !== undefined && /^-?\d{1,15}$/.test(asked) ? Number(asked) : undefined;
    if (alarmId !== undefined && alarmId < 0) {
      response.json([...(importedStory(store, alarmId)?.journal ?? [])].reverse().slice(0, JOURNAL_COUNT_MAX));
      return;
    }
    response.json(
      alarms.journal({
        controllerId: typeof controller === 'string' && controller !== '' ? controllerIn(controller) : undefined,
        alarmId,
        name: asked !== undefined && alarmId === undefined ? nameIn(asked) : undefined,
        beforeEntryId: numberIn(request, 'before', Number.MAX_SAFE_INTEGER, [1, Number.MAX_SAFE_INTEGER]),
        count: numberIn(request, 'count', JOURNAL_COUNT, [1, JOURNAL_COUNT_MAX]),
      }),
    );
  });
  router.get('/alarms/:alarmId', (request, response) => {
    const { alarmId } = request.params;
    const id = /^-?\d{1,15}$/.test(alarmId) ? Number(alarmId) : 0;
    const view = id < 0 ? importedStory(store, id)?.alarm : alarms.view(id, clock.nowMs());
    if (view === undefined)
      throw new Refused(
        404,
        `There is no alarm ${alarmId} in the store. The journal lists every change of those that are.`,
      );
    response.json(view);
  });
  router.get('/controllers/:id/alarms/silences', (request, response) => {
    response.json(alarms.silences(controllerIn(request.params.id), clock.nowMs()));
  });
  router.get('/controllers/:id/alarms/figures', (request, response) => {
    const controllerId = controllerIn(request.params.id);
    const times = [0, Number.MAX_SAFE_INTEGER] as const;
    const toMs = numberIn(request, 'to', clock.nowMs(), times);
    const fromMs = numberIn(request, 'from', toMs - NIGHT_MS, times);
    if (toMs <= fromMs || toMs - fromMs > FIGURES_DAYS_MAX * 86_400_000)
      throw new Refused(
        400,
        `from and to: expected a span of up to ${String(FIGURES_DAYS_MAX)} days with from before to, got ${String(fromMs)} and ${String(toMs)}.`,
      );
    response.json(alarms.figures(controllerId, fromMs, toMs));
  });

  router
    .route('/controllers/:id/alarms/:name/shelve')
    .post((request, response) => {
      const [id, name] = [controllerIn(request.params.id), nameIn(request.params.name)];
      const { by: who = ON_THE_PAGE, ...asked } = checked(shelveRequest, request.body);
      const answer = alarms.shelve(id, name, asked, who, clock.nowMs());
      response.json(granted(answer, 'This alarm cannot be shelved so.'));
    })
    .delete((request, response) => {
      const [id, name] = [controllerIn(request.params.id), nameIn(request.params.name)];
      response.json(alarms.unshelve(id, name, whoOf(request.body), clock.nowMs()));
    });
  router
    .route('/controllers/:id/alarms/:name/out-of-service')
    .post((request, response) => {
      const [id, name] = [controllerIn(request.params.id), nameIn(request.params.name)];
      const { reason, by: who = ON_THE_PAGE } = checked(outOfServiceRequest, request.body);
      const answer = alarms.takeOutOfService(id, name, reason, who, clock.nowMs());
      response.json(granted(answer, 'This alarm cannot be taken out of service so.'));
    })
    .delete((request, response) => {
      const [id, name] = [controllerIn(request.params.id), nameIn(request.params.name)];
      response.json(alarms.putBackInService(id, name, whoOf(request.body), clock.nowMs()));
    });
  router.post('/alarms/:alarmId/acknowledge', (request, response) => {
    const view = alarms.acknowledge(Number(request.params.alarmId), whoOf(request.body), clock.nowMs());
    if (view === undefined) throw new Refused(404, 'There is no such alarm in the store. Load the page anew.');
    dashboard.silenceBuzzer(view);
    response.json(view);
  });
  return router;
}
