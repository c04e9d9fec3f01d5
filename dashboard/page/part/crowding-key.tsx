/*
 * Where current crowds and where it does not reach: the key of the picture's marks in words, each with how much of the part it is, and
 * switched on and off here. Simple geometry, and says so; a solution of the field would give thicknesses.
 */
import { shareBelow } from '@bathkeeper/shared-core/part';
import { units } from '../state/units.js';
import { countWords, lengthWords, shareWords } from '../words/part-words.js';
import type { LoadedModel } from './loaded-model.js';
import type { Shown } from './picture/asked.js';

export const firstShown: Shown = { edges: true, rods: true, recesses: true, rodDiameterMm: 3, openShare: 0.3 };

export function CrowdingSection(props: { model: LoadedModel; shown: Shown; change: (shown: Shown) => void }) {
  const { model, shown } = props;
  const marks = model.marks.value;
  const factor = model.factor.value;
  if (marks === null)
    return (
      <section class="crowding" aria-labelledby="crowding-title">
        <h2 id="crowding-title">Where current crowds, and where it does not reach</h2>
        <p class="hint" role="status">
          Looking at edges, thin places and recesses…
        </p>
      </section>
    );
  const rods = shareBelow(marks.rodDiameterMm, shown.rodDiameterMm / factor);
  const recesses = shareBelow(marks.openShare, shown.openShare);
  return (
    <section class="crowding" aria-labelledby="crowding-title">
      <h2 id="crowding-title">Where current crowds, and where it does not reach</h2>
      <ul class="key">
        <KeyLine
          mark="edge"
          isOn={shown.edges}
          change={(edges) => props.change({ ...shown, edges })}
          title={
            marks.edgeCount === 0
              ? 'Sharp edges: none'
              : `Sharp edges: ${lengthWords(marks.edgeLengthMm * factor, units.value)} in all`
          }
          words="Current crowds there. Copper grows thicker, then rough, then burnt: round them in the model, or go lower with the current."
        />
        <KeyLine
          mark="rod"
          isOn={shown.rods}
          change={(isOn) => props.change({ ...shown, rods: isOn })}
          title={`Thin rods and points, under ${lengthWords(shown.rodDiameterMm, units.value)}: ${shareWords(rods)} of what is plated`}
          words="Current comes from all sides. They grow fastest, and burn first."
        />
        <li class="rod-limit">
          <label>
            Thin is a rod under
            <select
              value={String(shown.rodDiameterMm)}
              onChange={(event) => props.change({ ...shown, rodDiameterMm: Number(event.currentTarget.value) })}
            >
              {[1, 2, 3, 5, 8].map((mm) => (
                <option key={mm} value={String(mm)}>
                  {lengthWords(mm, units.value)}
                </option>
              ))}
            </select>
          </label>
        </li>
        <KeyLine
          mark="recess"
          isOn={shown.recesses}
          change={(isOn) => props.change({ ...shown, recesses: isOn })}
          title={`Recesses: ${shareWords(recesses)} of what is plated`}
          words={`Less than ${shareWords(shown.openShare)} of the directions lead out. Little current reaches them, and copper stays thin: turn the part, place an anode to face them, or plan for the thin place.`}
        />
      </ul>
      <p class="hint">
        Told by the shape alone, at {countWords(marks.openShare.length)} places. How thick copper will be there depends
        on bath, anodes and turning as well.
      </p>
    </section>
  );
}

function KeyLine(props: {
  mark: 'edge' | 'rod' | 'recess';
  isOn: boolean;
  change: (isOn: boolean) => void;
  title: string;
  words: string;
}) {
  return (
    <li>
      <label class="choice">
        <input type="checkbox" checked={props.isOn} onChange={(event) => props.change(event.currentTarget.checked)} />
        <svg class={`mark ${props.mark}`} viewBox="0 0 24 24" width="24" height="24" aria-hidden="true">
          {props.mark === 'edge' ? (
            <path d="M3 19L21 5" />
          ) : (
            <circle cx="12" cy="12" r={props.mark === 'rod' ? 6 : 5} />
          )}
          {props.mark === 'rod' && <circle class="heart" cx="12" cy="12" r="2" />}
        </svg>
        <strong>{props.title}</strong>
      </label>
      <p>{props.words}</p>
    </li>
  );
}
