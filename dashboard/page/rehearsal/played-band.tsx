/* The played night as a band: current against plan over the growing metal, then voltage and bath, faults as marks through all of them. Shown in the outcome. */
import type { RehearsalResult } from '@bathkeeper/shared-core/trade';
import { ampsWords, celsiusWords, voltsWords } from '../words/numbers.js';
import { type PlayedShape, playedShape } from './played-shape.js';

const WIDTH = 720;
const HEIGHT = 120;
const LOW_HEIGHT = 44;

export function PlayedBand(props: { result: RehearsalResult; label: string }) {
  const shape = playedShape(props.result, WIDTH, HEIGHT);
  const low = playedShape(props.result, WIDTH, LOW_HEIGHT);
  if (shape === null || low === null) return null;
  const { volts, celsius } = low;
  return (
    <figure class="played-band">
      <p class="lane-words">
        Current, 0 to {ampsWords(shape.mostAmps)}: <span data-line="played">played</span>,{' '}
        <span data-line="planned">planned</span>; the {props.result.metal} grows behind it
      </p>
      <svg viewBox={`0 0 ${WIDTH} ${HEIGHT}`} preserveAspectRatio="none" role="img" aria-label={props.label}>
        <path class="outlook-thickness" d={shape.thickness} />
        <path class="played-planned" d={shape.planned} />
        <path class="played-current" d={shape.current} />
        <Marks shape={shape} height={HEIGHT} />
      </svg>
      <p class="lane-words">{rangeWords('Voltage at the supply', volts.least, volts.most, voltsWords)}</p>
      <LowLane path={volts.path} shape={low} />
      <p class="lane-words">{rangeWords('Bath', celsius.least, celsius.most, celsiusWords)}</p>
      <LowLane path={celsius.path} shape={low} />
      <figcaption>
        <span>first current</span>
        <span>{shape.hours.toFixed(1)} h</span>
      </figcaption>
    </figure>
  );
}

function LowLane(props: { path: string; shape: PlayedShape }) {
  return (
    <svg viewBox={`0 0 ${WIDTH} ${LOW_HEIGHT}`} preserveAspectRatio="none" class="low-lane" aria-hidden="true">
      <path class="played-current" d={props.path} />
      <Marks shape={props.shape} height={LOW_HEIGHT} />
    </svg>
  );
}

function Marks(props: { shape: PlayedShape; height: number }) {
  return (
    <>
      <path class="outlook-base" d={`M0 ${props.height - 0.5}H${WIDTH}`} />
      {props.shape.faults.map((x, index) => (
        <path key={index} class="played-fault" d={`M${x} 0V${props.height}`} />
      ))}
    </>
  );
}

function rangeWords(name: string, least: number, most: number, words: (value: number) => string): string {
  return words(least) === words(most) ? `${name}, ${words(least)}` : `${name}, ${words(least)} to ${words(most)}`;
}
