/*
 * What would come of a recipe: refusals and cautions first, the sums, and the night ahead as a small drawing.
 * Shown beside the recipe form; the numbers are the dashboard's.
 */
import type { RecipePreview } from '@bathkeeper/shared-core/messages';
import { inWords } from '@bathkeeper/shared-core/trade';
import { serverNowMs } from '../state/state.js';
import { units } from '../state/units.js';
import { ampsWords, micrometresWords } from '../words/numbers.js';
import { recipeLines, recipeSummary } from '../words/recipe-words.js';
import { clockTime } from '../words/times.js';
import { outlookShape } from './outlook-shape.js';

const WIDTH = 360;
const HEIGHT = 96;

export function RecipeOutlook(props: { preview: RecipePreview }) {
  const { recipe, refusals, cautions, planned } = props.preview;
  const shape = outlookShape(planned, WIDTH, HEIGHT);
  const endMs = planned.at(-1)?.atMs ?? serverNowMs.peek();
  return (
    <>
      {refusals.length > 0 && (
        <ul class="refusals" aria-label="Why it cannot be sent">
          {refusals.map((words) => (
            <li key={words}>{inWords(words, units.value)}</li>
          ))}
        </ul>
      )}
      {cautions.length > 0 && (
        <ul class="cautions" aria-label="Cautions">
          {cautions.map((words) => (
            <li key={words}>{inWords(words, units.value)}</li>
          ))}
        </ul>
      )}
      <p class="summary">{recipeSummary(recipe, units.value)}</p>
      {shape && (
        <figure>
          <svg
            viewBox={`0 0 ${WIDTH} ${HEIGHT}`}
            role="img"
            aria-label={`The night ahead from a start now: ${ampsWords(recipe.plateAmps)} at most, ${micrometresWords(recipe.averageThicknessMicrometres, units.value)} about ${clockTime(endMs)}`}
          >
            <path class="outlook-thickness" d={shape.thickness} />
            <path class="outlook-current" d={shape.current} />
            <path class="outlook-base" d={`M0 ${HEIGHT - 0.5}H${WIDTH}`} />
          </svg>
          <figcaption>
            <span>start now</span>
            <span>
              {ampsWords(recipe.plateAmps)} (line), {micrometresWords(recipe.averageThicknessMicrometres, units.value)}{' '}
              ({recipe.metal})
            </span>
            <span>about {clockTime(endMs)}</span>
          </figcaption>
        </figure>
      )}
      <dl class="lines">
        {recipeLines(recipe, units.value).map(({ term, words }) => (
          <div key={term}>
            <dt>{term}</dt>
            <dd>{words}</dd>
          </div>
        ))}
      </dl>
    </>
  );
}
