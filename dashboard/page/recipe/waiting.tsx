/*
 * What waits for the press at the bath, and what a start still wants, with what to do about each.
 * Shown on the bath page while nothing runs; starts nothing.
 */
import { Phase } from '@bathkeeper/shared-core/control';
import type { ControllerView } from '@bathkeeper/shared-core/messages';
import { wordsForPermissive } from '../words/conditions.js';
import { recipeSummary } from '../words/recipe-words.js';

export function WaitingRecipe(props: { controller: ControllerView }) {
  const { waitingRecipe, live } = props.controller;
  const missing = live && (live.phase === Phase.ready || waitingRecipe !== null) ? live.permissivesMissing : [];
  if (waitingRecipe === null && missing.length === 0) return null;
  return (
    <section class="waiting-recipe" aria-labelledby="waiting-title">
      <h2 id="waiting-title">{waitingRecipe ? 'Waits for the press at the bath' : 'Before a start'}</h2>
      {waitingRecipe && (
        <p>
          <strong>{waitingRecipe.partName}</strong>: {recipeSummary(waitingRecipe)}
        </p>
      )}
      {missing.length === 0 ? (
        <p>Everything that a start wants is there.</p>
      ) : (
        <>
          <p>A start still wants:</p>
          <ul class="wanted">
            {missing.map((code) => {
              const words = wordsForPermissive(code);
              return (
                <li key={code}>
                  <strong>{words.missing.charAt(0).toUpperCase() + words.missing.slice(1)}.</strong> {words.remedy}
                </li>
              );
            })}
          </ul>
        </>
      )}
    </section>
  );
}
