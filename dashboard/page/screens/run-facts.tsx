/* The run in figures: what to write beside the piece, its interruptions included. Shown on the bath page; the figures come from the words. */
import type { ControllerView, RunView } from '@bathkeeper/shared-core/messages';
import { units } from '../state/units.js';
import { interruptionWords } from '../words/interruption.js';
import { recipeLines, runLines } from '../words/recipe-words.js';

export function RunFacts(props: { controller: ControllerView; run: RunView; nowMs: number }) {
  const { run, nowMs } = props;
  const { live, told } = props.controller;
  const interruptions = (told?.interruptions ?? []).map((one) => ({
    term: 'Interrupted',
    words: interruptionWords(one, nowMs),
  }));
  return (
    <section class="facts" aria-labelledby="facts-title">
      <h2 id="facts-title">
        Run {run.runNumber}, recipe {run.recipe.recipeId}
      </h2>
      <dl class="lines">
        {[
          ...runLines(run, live, nowMs, { units: units.value }),
          ...interruptions,
          ...recipeLines(run.recipe, units.value),
        ].map(({ term, words }, place) => (
          <div key={`${String(place)} ${term}`}>
            <dt>{term}</dt>
            <dd>{words}</dd>
          </div>
        ))}
      </dl>
    </section>
  );
}
