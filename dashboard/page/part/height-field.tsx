/* A height in millimetres from the lowest point of the part, dragged or typed. Used for the cut-off. */
import { useState } from 'preact/hooks';
import { typedNumber } from '../recipe/request.js';

export function HeightField(props: { atMm: number; mostMm: number; change: (mm: number) => void }) {
  const { atMm, mostMm } = props;
  const [typed, setTyped] = useState<string | null>(null);
  const shown = typed ?? String(Number(atMm.toPrecision(4)));
  const value = typed === null ? atMm : typedNumber(typed);
  const isWrong = value === undefined || value > mostMm * 1.0001;
  return (
    <div class="height-field">
      <label class="field">
        <span>
          Height over the lowest point <span class="unit">mm</span>
        </span>
        <input
          type="text"
          inputMode="decimal"
          autocomplete="off"
          value={shown}
          aria-invalid={isWrong ? 'true' : undefined}
          aria-describedby={isWrong ? 'height-problem' : undefined}
          onInput={(event) => {
            const text = event.currentTarget.value;
            const mm = typedNumber(text);
            setTyped(text);
            if (mm !== undefined && mm <= mostMm * 1.0001) props.change(mm);
          }}
          onBlur={() => {
            if (!isWrong) setTyped(null);
          }}
        />
        {isWrong && (
          <span class="field-problem" id="height-problem">
            {`Type millimetres from 0 to ${String(Number(mostMm.toPrecision(4)))}; got \u201c${shown}\u201d.`}
          </span>
        )}
      </label>
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
