/*
 * The routes of the controllers at the baths: pairing one, its night, a recipe looked at and sent, commands, the buttons of the virtual bath. Mounted below /api, behind
 * the door.
 */
import { type Request, Router } from 'express';
import { plannedRest, recipeFromRequest } from '@bathkeeper/shared-core/trade';
import { type PairResult, readPairingText, type SimulatedButton } from '@bathkeeper/shared-core/messages';
import type { Dashboard } from '../dashboard.js';
import { nightSeries, POINTS_MAX } from '../night/night-series.js';
import { checkedPlan } from '../plans/plan-problems.js';
import { PAIRED_RIG, SIGN_OF_LIFE_PORT } from '../settings/board-settings.js';
import { checked, checkedSecret, DOES_NOT_FIT, Refused } from './refusal.js';
import { commandRequest, pairRequest, pressRequest, recipeRequest, sentRecipe } from './requests.js';

export interface ControllerRouteOptions {
  readonly dashboard: Dashboard;
  /** Presses a button of the virtual bath; undefined: none is running. */
  readonly press: () => ((button: SimulatedButton) => void) | undefined;
  readonly mqttPort: () => number;
  readonly hostAddress: () => string;
  /** Called when a real controller was paired: the virtual bath goes. */
  readonly pairedReal: () => void;
}

export function controllerRoutes(options: ControllerRouteOptions): Router {
  const { dashboard } = options;
  const { book, alarms, clock, desk } = dashboard;
  const router = Router();
  const controllerOf = (request: Request): string => {
    const id = String(request.params.id);
    if (!book.has(id))
      throw new Refused(
        404,
        `No controller "${id}" is paired. Paired: ${
          book
            .all()
            .map((bath) => bath.paired.controllerId)
            .join(', ') || 'none'
        }.`,
      );
    return id;
  };
  router.get('/controllers/:id/runs/:run/night', (request, response) => {
    const controllerId = controllerOf(request);
    const row = book.run(controllerId, Number(request.params.run));
    if (row === undefined)
      throw new Refused(
        404,
        `Run ${String(request.params.run)} of ${controllerId} is not in the store. Load the page anew.`,
      );
    const points = Number(request.query.points ?? 1200);
    if (!(points >= 10 && points <= POINTS_MAX))
      throw new Refused(
        400,
        `points: expected a number from 10 to ${String(POINTS_MAX)}, got ${JSON.stringify(request.query.points)}.`,
      );
    const nowMs = clock.nowMs();
    const { live, run } = book.view(controllerId, nowMs);
    const isPresent = live !== null && run !== null && run.runNumber === row.run && row.ended_at_ms === null;
    const planned = isPresent ? plannedRest(run.recipe, live, nowMs) : [];
    response.json(
      nightSeries(
        dashboard.store,
        {
          controllerId,
          incarnation: row.incarnation,
          runNumber: row.run,
          startedAtMs: row.started_at_ms,
          endedAtMs: row.ended_at_ms,
        },
        points,
        nowMs,
        planned,
        alarms.ofRun(controllerId, row.started_at_ms, row.ended_at_ms ?? nowMs, nowMs),
      ),
    );
  });
  router.post('/controllers/:id/recipe/preview', (request, response) => {
    const controllerId = controllerOf(request);
    const { preview } = recipeFromRequest(
      checked(recipeRequest, request.body),
      book.rigLimits(controllerId),
      book.nextRecipeId(),
      clock.nowMs(),
    );
    response.json(preview);
  });
  router.post('/controllers/:id/recipe', (request, response) => {
    const controllerId = controllerOf(request);
    const { plan, ...asked } = checked(sentRecipe, request.body);
    const keptPlan = plan === undefined ? undefined : checkedPlan(plan);
    const { recipe, preview } = recipeFromRequest(
      checked(recipeRequest, asked),
      book.rigLimits(controllerId),
      book.nextRecipeId(),
      clock.nowMs(),
    );
    if (recipe === undefined || preview.refusals.length > 0)
      throw new Refused(422, 'The recipe cannot be sent.', preview.refusals);
    const command = desk.sendRecipe(controllerId, recipe, preview.recipe);
    if (typeof command === 'string') throw new Refused(409, command);
    if (keptPlan !== undefined) dashboard.recipePlans.keep(preview.recipe.recipeId, keptPlan);
    response.json(command);
  });
  router.post('/controllers/:id/commands', (request, response) => {
    const command = desk.send(controllerOf(request), checked(commandRequest, request.body));
    if (typeof command === 'string') throw new Refused(409, command);
    response.json(command);
  });
  router.post('/controllers/:id/simulated-press', (request, response) => {
    const controllerId = controllerOf(request);
    const press = options.press();
    if (!book.bath(controllerId)!.paired.isSimulated || press === undefined)
      throw new Refused(409, 'This bath is not simulated: press the button at the bath.');
    press(checked(pressRequest, request.body).button);
    response.json({});
  });
  router.post('/controllers', async (request, response) => {
    const { controllerId, bathName, secretText } = checkedSecret(pairRequest, request.body);
    const known = book.bath(controllerId)?.paired;
    const name = bathName ?? (known?.isSimulated === false ? known.bathName : undefined);
    if (name === undefined)
      throw new Refused(400, DOES_NOT_FIT, ['bathName: expected a name for the new bath, got nothing.']);
    if (dashboard.store.setting(`simulated:${controllerId}`) !== undefined)
      throw new Refused(
        409,
        `"${controllerId}" was the name of a virtual bath, whose nights are in the store. Choose another name.`,
      );
    const read = readPairingText(secretText);
    if (read.secret === undefined) throw new Refused(422, 'The secret cannot be read.', read.problems);
    options.pairedReal();
    await dashboard.pair(controllerId, name, false, PAIRED_RIG, read.secret);
    response.json({
      controllerId,
      address: options.hostAddress(),
      port: options.mqttPort(),
      signOfLifePort: SIGN_OF_LIFE_PORT,
    } satisfies PairResult);
  });
  return router;
}
