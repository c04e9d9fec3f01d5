/*
 * A plan taken as the recipe: first the bath, where there are several, then the form filled in and checked against that rig's limits. Reached from the plan.
 * Nothing is sent before somebody presses, and nothing starts before somebody presses at the bath.
 */
import { useState } from 'preact/hooks';
import type { ControllerView, RecipeRequest } from '@bathkeeper/shared-core/messages';
import { isLive } from '@bathkeeper/shared-core/control';
import type { PlanRequest } from '@bathkeeper/shared-core/trade';
import { bathAddress, PLAN_ADDRESS, recipeAddress } from '../state/route.js';
import { RecipeFields } from './fields.js';
import { plannedFrom, plannedRequest } from './planned-request.js';
import { recipeFormOf } from './request.js';
import { RunIsLive } from './room.js';

export function RecipeScreen(props: { controller: ControllerView | null; controllers: readonly ControllerView[] }) {
  const planned = plannedRequest.value;
  const { controller, controllers } = props;
  if (controller !== null) return <ForOneBath key={controller.controllerId} controller={controller} />;
  return (
    <main class="leaf">
      <h1>Which bath is it for?</h1>
      {planned !== null && <p>{planned.partName}</p>}
      {controllers.length === 0 ? (
        <p>
          No controller is paired yet. Bring one up at the bath, then pair it: both begin under{' '}
          <a href="#settings">Settings</a>. The plan stays here until this page is loaded anew.
        </p>
      ) : (
        <ul class="links">
          {controllers.map((each) => (
            <li key={each.controllerId}>
              <a href={recipeAddress(each.controllerId)}>{each.bathName}</a>{' '}
              <span class="hint">{[each.controllerId, ...notes(each)].join(', ')}</span>
            </li>
          ))}
        </ul>
      )}
      <BackToPlan />
    </main>
  );
}

/** What somebody wants to know before the choice. */
function notes(controller: ControllerView): string[] {
  const { live, isOnline, isSimulated, waitingRecipe } = controller;
  return [
    ...(isSimulated ? ['simulated'] : []),
    ...(isOnline ? [] : ['not heard now']),
    ...(live !== null && isLive(live.phase) ? ['a run is live'] : []),
    ...(waitingRecipe === null ? [] : [`“${waitingRecipe.partName}” waits there`]),
  ];
}

function ForOneBath(props: { controller: ControllerView }) {
  const { controller } = props;
  // As it was on coming: once sent it is given away, and the form keeps what it shows.
  const [planned] = useState<RecipeRequest | null>(plannedRequest.peek());
  const [plan] = useState<PlanRequest | null>(plannedFrom.peek());
  return (
    <main class="recipe-screen">
      <h1>Recipe for {controller.bathName}</h1>
      {planned === null ? (
        <p>
          No plan is at hand: it has been sent, or the page was loaded anew. Take it from the plan again, or fill in the
          form.
        </p>
      ) : (
        <p>
          From the plan, checked against the limits of this rig. Look it over, then send it; it starts with the press at
          the bath.
        </p>
      )}
      <RunIsLive controller={controller} />
      <RecipeFields
        controller={controller}
        begun={planned === null ? undefined : recipeFormOf(planned)}
        plan={plan ?? undefined}
        onSent={() => {
          plannedRequest.value = null;
          plannedFrom.value = null;
        }}
      />
      <p>
        <a class="target" href={bathAddress(controller.controllerId)}>
          To the bath
        </a>
      </p>
      <BackToPlan />
    </main>
  );
}

function BackToPlan() {
  return (
    <p>
      <a class="target" href={PLAN_ADDRESS}>
        Back to the plan
      </a>
    </p>
  );
}
