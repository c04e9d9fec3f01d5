/* The phases of a night as a thin strip over its band, each named where its name has room. Used by the night band and the night ahead. */
import { phaseName } from '../words/phases.js';
import { axisFraction, type BandAxis, type PhaseSpan } from './band-model.js';

/** Narrower, and a name would be cut off. */
const LEAST_PIXELS = 44;

/** `width`: of the band's lanes, in pixels; `timeWords`: a moment of the axis in words. */
export function PhaseStrip(props: {
  spans: readonly PhaseSpan[];
  axis: BandAxis;
  width: number;
  timeWords: (atMs: number) => string;
}) {
  const { axis, width } = props;
  return (
    <ol class="phase-strip" aria-label="Phases">
      {props.spans.map(({ phase, fromMs, toMs }) => {
        const left = axisFraction(axis, fromMs);
        const share = axisFraction(axis, toMs) - left;
        return (
          <li
            key={fromMs}
            data-phase={phaseName[phase]}
            title={`${phaseName[phase]} from ${props.timeWords(fromMs)}`}
            ref={(item) => {
              item?.style.setProperty('left', `${(left * 100).toFixed(2)}%`);
              item?.style.setProperty('width', `${(share * 100).toFixed(2)}%`);
            }}
          >
            <span class={share * width < LEAST_PIXELS ? 'unseen' : ''}>{phaseName[phase]}</span>
          </li>
        );
      })}
    </ol>
  );
}
