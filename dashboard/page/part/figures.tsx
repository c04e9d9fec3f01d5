/* The figures of a model that was read: area to plate, volume, size and unit, what is wrong with its surface and what can be trusted all the same. */
import { useState } from 'preact/hooks';
import { type LengthUnit, sizeWarning } from '@bathkeeper/shared-core/part';
import { inWords } from '@bathkeeper/shared-core/trade';
import { TypedField } from '../forms/typed-field.js';
import { typedNumber } from '../forms/typed-number.js';
import { units } from '../state/units.js';
import { areaWords, countWords, sizeWords, trustWords, unitWords, volumeWords } from '../words/part-words.js';
import type { LoadedModel } from './loaded-model.js';
import { MADE_HERE } from './model-worker/asked.js';

export function ModelFigures(props: { model: LoadedModel }) {
  const { model } = props;
  const { report } = model;
  const measure = model.measure.value;
  const volumeCm3 = model.volumeCm3.value;
  const warning = sizeWarning(measure.boxMm, model.unit.value);
  return (
    <section class="figures" aria-labelledby="figures-title">
      <h2 id="figures-title">Its figures</h2>
      <dl class="lines">
        <div>
          <dt>To be plated</dt>
          <dd aria-live="polite">
            <strong>{areaWords(model.platedAreaDm2.value, units.value)}</strong>
            {model.notPlatedAreaDm2.value > 1e-9 && (
              <span class="unit beside">{areaWords(model.notPlatedAreaDm2.value, units.value)} is not</span>
            )}
          </dd>
        </div>
        <div>
          <dt>Volume</dt>
          <dd>{volumeCm3 === undefined ? 'none, see below' : volumeWords(volumeCm3, units.value)}</dd>
        </div>
        <div>
          <dt>Size</dt>
          <dd>{sizeWords(measure.boxMm, units.value)}</dd>
        </div>
        <div>
          <dt>Surface</dt>
          <dd>
            {countWords(measure.triangles)} triangles in {countWords(measure.shells)}{' '}
            {measure.shells === 1 ? 'shell' : 'shells'}, {measure.isClosed ? 'closed' : 'not closed'}{' '}
            <span class="unit">({report.format})</span>
          </dd>
        </div>
      </dl>
      {warning !== undefined && (
        <p class="caution" role="alert">
          {inWords(warning, units.value)}
        </p>
      )}
      <ScaleFields model={model} />
      {report.notes.map((note) => (
        <p key={note} class="hint">
          {inWords(note, units.value)}
        </p>
      ))}
      {measure.warnings.length > 0 && (
        <div class="faults" role="note" aria-labelledby="faults-title">
          <h3 id="faults-title">What is wrong with its surface</h3>
          <p>
            {trustWords(measure).area} {trustWords(measure).volume}
          </p>
          <ul>
            {measure.warnings.map((words) => (
              <li key={words}>{inWords(words, units.value)}</li>
            ))}
          </ul>
        </div>
      )}
    </section>
  );
}

/** Most files say no unit: a person does. */
function ScaleFields(props: { model: LoadedModel }) {
  const { model } = props;
  const { report, unit, times } = model;
  const [typed, setTyped] = useState(String(times.value));
  const isWrong = !((typedNumber(typed) ?? 0) > 0);
  return (
    <div class="scale">
      {report.isUnitFromFile ? (
        <p class="hint">
          Its lengths are {unitWords[report.unit]}
          {report.format !== MADE_HERE && ', as the file says'}.
        </p>
      ) : (
        <label>
          The file's numbers are
          <select value={unit.value} onChange={(event) => (unit.value = event.currentTarget.value as LengthUnit)}>
            {unitOrder.map((one) => (
              <option key={one} value={one}>
                {unitWords[one]}
              </option>
            ))}
          </select>
        </label>
      )}
      <TypedField
        id="scale"
        words="Scale"
        unit="times as long"
        typed={typed}
        problem={isWrong ? `Type a number above zero, such as 1 or 0.5; got \u201c${typed}\u201d.` : undefined}
        change={(text) => {
          const value = typedNumber(text);
          setTyped(text);
          if (value !== undefined && value > 0) times.value = value;
        }}
      />
    </div>
  );
}

/** In the order of how often models are drawn in them. Common practice, no source. */
const unitOrder: readonly LengthUnit[] = ['millimeter', 'inch', 'centimeter', 'meter', 'foot', 'micron'];
