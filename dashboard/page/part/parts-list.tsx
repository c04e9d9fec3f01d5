/* Everything that hangs in the bath together: name, pieces, area of each, and the sum that the plan takes. */
import type { PlannedPart } from '@bathkeeper/shared-core/trade';
import { typedNumber } from '../forms/typed-number.js';
import { told, units } from '../state/units.js';
import { areaWords, volumeWords } from '../words/part-words.js';
import { type BathPart, chosenPart, load, parts, removePart, showPart } from './bath-parts.js';
import { useState } from 'preact/hooks';

export function PartsList() {
  const all = load.value;
  return (
    <section class="bath-parts" aria-labelledby="bath-parts-title">
      <h2 id="bath-parts-title">In one bath</h2>
      <ul>
        {parts.value.map((part) => (
          <PartLine key={part.id} part={part} />
        ))}
      </ul>
      <p class="bath-sum">
        In all{' '}
        <strong>
          {areaWords(all.areaDm2, units.value)} on {all.pieces === 1 ? 'one piece' : `${String(all.pieces)} pieces`}
        </strong>
        {all.volumeCm3 === undefined ? '; the volume is not known' : `, ${volumeWords(all.volumeCm3, units.value)}`}.
      </p>
    </section>
  );
}

/** Of a part without its model: where its figures come from, and what of it is not plated. */
function KeptWords({ areaFrom = 'kept with the plan', notPlated = [] }: PlannedPart) {
  return (
    <p class="hint">
      {told(`${areaFrom.charAt(0).toUpperCase()}${areaFrom.slice(1)}.`)}
      {notPlated.length > 0 && told(` Not plated: ${notPlated.join('; ')}.`)}
    </p>
  );
}

function PartLine(props: { part: BathPart }) {
  const { part } = props;
  const { areaDm2 } = part.inBath.value;
  const [typed, setTyped] = useState(String(part.pieces.value));
  const isShown = chosenPart.value === part;
  const pieces = typedNumber(typed);
  const isWrong = pieces === undefined || !Number.isInteger(pieces) || pieces < 1;
  return (
    <li aria-current={isShown ? 'true' : undefined}>
      <label class="field part-name">
        <span>Name</span>
        <input
          type="text"
          maxLength={80}
          autocomplete="off"
          value={part.name.value}
          onInput={(event) => (part.name.value = event.currentTarget.value)}
        />
      </label>
      <label class="field part-pieces">
        <span>Pieces</span>
        <input
          type="text"
          inputMode="numeric"
          maxLength={4}
          autocomplete="off"
          value={typed}
          aria-invalid={isWrong ? 'true' : undefined}
          onInput={(event) => {
            const text = event.currentTarget.value;
            const count = typedNumber(text);
            setTyped(text);
            if (count !== undefined && Number.isInteger(count) && count >= 1) part.pieces.value = count;
          }}
        />
        {isWrong && <span class="field-problem">Type 1, 2, 3 …</span>}
      </label>
      <p class="part-area">
        {areaWords(areaDm2, units.value)} <span class="unit">each</span>
      </p>
      {part.source.kind === 'kept' && <KeptWords {...part.source.figures} />}
      <div class="row">
        {part.source.kind === 'model' && !isShown && (
          <button type="button" class="quiet" onClick={() => showPart(part)}>
            Show it
          </button>
        )}
        <button type="button" class="quiet" aria-label={`Remove ${part.name.value}`} onClick={() => removePart(part)}>
          Remove
        </button>
      </div>
    </li>
  );
}
