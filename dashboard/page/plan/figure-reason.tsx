/* What stands behind a figure: its formula, what went into it, its bounds and its source. Shown where one is opened, in a plan and in the record of a run. */
import { type Figure, inWords, shownWith, type UnitSystem } from '@bathkeeper/shared-core/trade';

export function FigureReason({ figure, units }: { figure: Figure; units: UnitSystem }) {
  return (
    <>
      <p>= {inWords(figure.formula, units)}</p>
      {figure.inputs.length > 0 && (
        <ul>
          {figure.inputs.map((input) => (
            <li key={input.label}>
              {inWords(input.label, units)}: {shownWith(input.value, input.unit, units)}
              {input.isAssumed === true && <span class="unit"> as usual, since nobody said otherwise</span>}
            </li>
          ))}
        </ul>
      )}
      {figure.uncertainty !== undefined && <p>Bounds: {inWords(figure.uncertainty.because, units)}</p>}
      <p class="unit">Source: {figure.source}</p>
    </>
  );
}
