/* A height in millimetres from the lowest point of the part, dragged or typed. Used for the cut-off. */
import { useState } from 'preact/hooks';
import { TypedField } from '../forms/typed-field.js';
import { typedNumber } from '../forms/typed-number.js';

export function HeightField(props: { atMm: number; mostMm: number; change: (mm: number) => void }) {
  const { atMm, mostMm } = props;
  const [typed, setTyped] = useState<string | null>(null);
  const shown = typed ?? String(Number(atMm.toPrecision(4)));
  const value = typed === null ? atMm : typedNumber(typed);
  const isWrong = value === undefined || value > mostMm * 1.0001;
  return (
    <div class="height-field">
      <TypedField
        id="height"
        words="Height over the lowest point"
        unit="mm"
        typed={shown}
        problem={
          isWrong
            ? `Type millimetres from 0 to ${String(Number(mostMm.toPrecision(4)))}; got \u201c${shown}\u201d.`
            : undefined
        }
        change={(text) => {
          const mm = typedNumber(text);
          setTyped(text);
          if (mm !== undefined && mm <= mostMm * 1.0001) props.change(mm);
        }}
        leave={() => {
          if (!isWrong) setTyped(null);
        }}
      />
      <input
        type="range"
        aria-label="Height over the lowest point, in millimetres"
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
