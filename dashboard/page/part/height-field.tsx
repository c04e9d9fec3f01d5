/* A height over the lowest point of the part, dragged or typed in a person's units, kept in millimetres. Used for the cut-off. */
import { useState } from 'preact/hooks';
import { TypedField } from '../forms/typed-field.js';
import { metricValue, textIn, type TypedFigure, typedIn } from '../forms/typed-figure.js';
import { units } from '../state/units.js';
import { unitName } from '@bathkeeper/shared-core/trade';

export function HeightField(props: { atMm: number; mostMm: number; change: (mm: number) => void }) {
  const { atMm, mostMm } = props;
  const [typed, setTyped] = useState<TypedFigure | null>(null);
  const shown = (mm: number): string => textIn(typedIn('metric', String(Number(mm.toPrecision(4)))), 'mm', units.value);
  const text = typed === null ? shown(atMm) : textIn(typed, 'mm', units.value);
  const value = typed === null ? atMm : metricValue(typed, 'mm');
  const isWrong = value === undefined || value > mostMm * 1.0001;
  return (
    <div class="height-field">
      <TypedField
        id="height"
        words="Height over the lowest point"
        unit={unitName('mm', units.value)}
        typed={text}
        problem={
          isWrong ? `Type 0 to ${shown(mostMm)} ${unitName('mm', units.value)}; got \u201c${text}\u201d.` : undefined
        }
        change={(given) => {
          const next = typedIn(units.value, given);
          const mm = metricValue(next, 'mm');
          setTyped(next);
          if (mm !== undefined && mm <= mostMm * 1.0001) props.change(mm);
        }}
        leave={() => {
          if (!isWrong) setTyped(null);
        }}
      />
      <input
        type="range"
        aria-label="Height over the lowest point"
        aria-valuetext={`${shown(atMm)} ${unitName('mm', units.value)}`}
        min={0}
        max={mostMm}
        step={mostMm / 400}
        value={atMm}
        onInput={(event) => {
          setTyped(null);
          props.change(Number(event.currentTarget.value));
        }}
      />
    </div>
  );
}
