/*
 * The section through the tank: supply, contactor, shunt, anodes, liquid, probe, and the part on its turning shaft.
 * Each reading stands where it is measured; what is wrong is ringed there, and only there. Drawn by the bath page.
 */
import type { ControllerView } from '@bathkeeper/shared-core/messages';
import { units } from '../state/units.js';
import type { Freshness } from '../words/age.js';
import type { Place } from '../words/conditions.js';
import { reachedFraction, runChargeAmpereHours, thicknessMicrometresAt } from '../words/deposit.js';
import { ampsWords, celsiusWords, micrometresOf, voltsWords } from '../words/numbers.js';
import { clockTime } from '../words/times.js';
import { bellFlute, bellOutline } from './bell.js';
import type { Mark } from './marks.js';
import { Leads, Probe, Tank } from './parts.js';
import { SECTION_BOX } from './places.js';
import { Ring } from './ring.js';
import { sectionWords } from './section-words.js';
import { shaftWords, turnSeconds } from './turning.js';

const AXIS = 180;
const PART_TOP = 196;
/** How thick the finished copper is drawn: far from scale, or nobody could see it. */
const GROWN_MOST = 9;
const FLUTES = 12;

export function TankSection(props: { controller: ControllerView; fresh: Freshness; marks: readonly Mark[] }) {
  const { controller, fresh, marks } = props;
  const { live, run } = controller;
  const wrong = new Set(marks.filter((m) => m.kind === 'wrong').map((m) => m.place));
  const ink = (place: Place): string => (wrong.has(place) ? 'reading wrong' : 'reading');
  const charge = run ? runChargeAmpereHours(run, live) : 0;
  const fraction = run ? reachedFraction(run.recipe, charge) : 0;
  const shaft = shaftWords(live);
  return (
    <svg
      class="section"
      data-fresh={fresh}
      viewBox={`${SECTION_BOX.left} ${SECTION_BOX.top} ${SECTION_BOX.width} ${SECTION_BOX.height}`}
      role="img"
      aria-label={sectionWords(controller, fresh, marks, units.value)}
    >
      <Leads
        isClosed={live?.isContactorClosed ?? false}
        isSecondMeansOpen={marks.some(({ place }) => place === 'second-means')}
      />
      <Tank />
      <Part fraction={fraction} hasRun={run !== null} turn={turnSeconds(live, fresh)} />
      <Probe />
      {live && (
        <g class="readings">
          <text class={ink('terminals')} x="48" y="50" text-anchor="middle">
            {live.terminalVolts === null ? '?' : voltsWords(live.terminalVolts)}
          </text>
          <text class={ink('shunt')} x="125" y="40" text-anchor="middle">
            {live.cathodeCurrentAmps === null ? '?' : ampsWords(live.cathodeCurrentAmps)}
          </text>
          <text class="reading-small" x="128" y="81" text-anchor="middle">
            of {ampsWords(live.permittedAmps)}
          </text>
          <text class={ink('shaft')} x="212" y="26">
            {shaft.rate}
          </text>
          <text class="reading-small" x="212" y="43">
            {shaft.pulse}
          </text>
          <text class={ink('probe')} x="284" y="98" text-anchor="middle">
            {celsiusWords(live.bathTemperatureCelsius, units.value)}
          </text>
          <text class="reading-small" x="48" y="120">
            {live.isContactorClosed ? 'closed' : 'open'}
          </text>
          {run && <Thickness controller={controller} charge={charge} />}
        </g>
      )}
      {marks.map((mark) => (
        <Ring key={mark.place} mark={mark} />
      ))}
      {live && (fresh === 'lost' || fresh === 'stale') && (
        <text class="last-known" x={AXIS} y="442" text-anchor="middle">
          last known, {clockTime(live.takenAtMs)}
        </text>
      )}
    </svg>
  );
}

function Part(props: { fraction: number; hasRun: boolean; turn: number | null }) {
  const flute = bellFlute(AXIS, PART_TOP);
  const isTurning = props.turn !== null;
  return (
    <g>
      <rect class="box" x={AXIS - 14} y="14" width="28" height="26" rx="3" />
      <text class="sign" x={AXIS} y="32" text-anchor="middle">
        M
      </text>
      <path class="shaft-halo" d={`M${AXIS} 40V${PART_TOP}`} />
      <path class="shaft" d={`M${AXIS} 40V${PART_TOP}`} />
      <rect class="clip" x={AXIS - 7} y={PART_TOP - 14} width="14" height="10" rx="2" />
      <path class="brush" d={`M${AXIS - 5} 54V66`} />
      {props.hasRun && <path class="planned-copper" d={bellOutline(GROWN_MOST, AXIS, PART_TOP)} />}
      {props.fraction > 0 && (
        <path class="copper" d={bellOutline(Math.max(0.8, GROWN_MOST * props.fraction), AXIS, PART_TOP)} />
      )}
      <path class="print" d={bellOutline(0, AXIS, PART_TOP)} />
      <g
        class={isTurning ? 'flutes turning' : 'flutes'}
        ref={(group) => group?.style.setProperty('--turn', `${String(props.turn ?? 10)}s`)}
      >
        {Array.from({ length: FLUTES }, (_, k) => (
          <path
            key={k}
            class="flute"
            d={flute}
            ref={(path) => {
              path?.style.setProperty('--place', String(-k / FLUTES));
              path?.style.setProperty('--still', String(Math.cos((Math.PI * 2 * (k + 0.5)) / FLUTES)));
              path?.style.setProperty('--seen', k < FLUTES / 2 ? '1' : '0');
            }}
          />
        ))}
      </g>
    </g>
  );
}

function Thickness(props: { controller: ControllerView; charge: number }) {
  const { recipe } = props.controller.run!;
  const [reached, asked] = micrometresOf(
    thicknessMicrometresAt(recipe, props.charge),
    recipe.averageThicknessMicrometres,
    units.value,
  ).split(' of ');
  return (
    <>
      <text class="reading on-part" x={AXIS} y="294" text-anchor="middle">
        {reached}
      </text>
      <text class="reading-small on-part" x={AXIS} y="312" text-anchor="middle">
        of {asked}
      </text>
    </>
  );
}
