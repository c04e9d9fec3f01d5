/*
 * What waits for the press at the bath, and what a person does there to start, in order.
 * Shown on the bath page while nothing runs; starts nothing.
 */
import { Phase, SupplyKind } from '@bathkeeper/shared-core/control';
import type { ControllerView } from '@bathkeeper/shared-core/messages';
import { units } from '../state/units.js';
import { BY_HAND_CAUTION } from '../words/by-hand.js';
import { bathOfRecipe, recipeSummary } from '../words/recipe-words.js';
import { startSteps } from '../words/start-steps.js';

const stepName = { done: 'Done: ', now: 'Now: ', later: 'Then: ' } as const;

export function WaitingRecipe(props: { controller: ControllerView }) {
  const { waitingRecipe, live } = props.controller;
  if (live === null || (live.phase !== Phase.ready && waitingRecipe === null)) return null;
  const steps = startSteps(live);
  return (
    <section class="waiting-recipe" aria-labelledby="waiting-title">
      <h2 id="waiting-title">{waitingRecipe ? 'Waits for the press at the bath' : 'Before a start'}</h2>
      {waitingRecipe && (
        <p>
          <strong>{waitingRecipe.partName}</strong>: {recipeSummary(waitingRecipe, units.value)}{' '}
          <span class="unit">For {bathOfRecipe(waitingRecipe)}.</span>
        </p>
      )}
      {live.supplyKind === SupplyKind.byHand && <p class="caution">{BY_HAND_CAUTION}</p>}
      {steps.length > 0 && (
        <>
          <p>At the bath, in this order:</p>
          <ol class="steps">
            {steps.map(({ state, words, why }) => (
              <li key={words} data-state={state} aria-current={state === 'now' ? 'step' : undefined}>
                <span class="unseen">{stepName[state]}</span>
                <strong>{words}</strong> <span class="why">{why}</span>
              </li>
            ))}
          </ol>
        </>
      )}
    </section>
  );
}
