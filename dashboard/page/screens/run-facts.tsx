/* The run in figures: what to write beside the piece. Shown on the bath page; the figures come from words/recipe-words. */
import type { LiveView, RunView } from '@bathkeeper/shared-core/messages';
import { recipeLines, runLines } from '../words/recipe-words.js';

export function RunFacts(props: { run: RunView; live: LiveView | null; nowMs: number }) {
  const { run, live, nowMs } = props;
  return (
    <section class="facts" aria-labelledby="facts-title">
      <h2 id="facts-title">
        Run {run.runNumber}, recipe {run.recipe.recipeId}
      </h2>
      <dl class="lines">
        {[...runLines(run, live, nowMs), ...recipeLines(run.recipe)].map(({ term, words }) => (
          <div key={term}>
            <dt>{term}</dt>
            <dd>{words}</dd>
          </div>
        ))}
      </dl>
    </section>
  );
}
