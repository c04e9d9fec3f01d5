/*
 * The section through the tank: supply, contactor, shunt, anodes, liquid, probe, and the part on its turning shaft.
 * Each reading stands where it is measured; what is wrong is ringed there, and only there. Drawn by the bath page.
 */
import type { ControllerView, LiveView } from '@bathkeeper/shared-core/messages';
import type { Freshness } from '../words/age.js';
import type { Place } from '../words/conditions.js';
import { reachedFraction, runChargeAmpereHours, thicknessMicrometresAt } from '../words/deposit.js';
import { ampsWords, celsiusWords, micrometresOf, voltsWords } from '../words/numbers.js';
import { clockTime } from '../words/times.js';
import { bellFlute, bellOutline } from './bell.js';
import type { Mark } from './marks.js';
import { sectionWords } from './section-words.js';
import { shaftWords, turnSeconds } from './turning.js';

const AXIS = 180;
const PART_TOP = 196;
/** How thick the finished copper is drawn: far from scale, or nobody could see it. */
const GROWN_MOST = 9;
const FLUTES = 12;

/** Ring around a place, and where its word stands. */
const rings: Readonly<
  Record<
    Place,
    { cx: number; cy: number; rx: number; ry: number; wx: number; wy: number; anchor: 'start' | 'middle' | 'end' }
  >
> = {
  shunt: { cx: 128, cy: 50, rx: 36, ry: 38, wx: 128, wy: 102, anchor: 'middle' },
  terminals: { cx: 48, cy: 44, rx: 46, ry: 38, wx: 48, wy: 12, anchor: 'middle' },
  contactor: { cx: 30, cy: 98, rx: 17, ry: 21, wx: 52, wy: 118, anchor: 'start' },
  'emergency-stop': { cx: 78, cy: 98, rx: 15, ry: 15, wx: 97, wy: 104, anchor: 'start' },
  probe: { cx: 284, cy: 92, rx: 52, ry: 22, wx: 284, wy: 66, anchor: 'middle' },
  shaft: { cx: AXIS, cy: 30, rx: 26, ry: 28, wx: 212, wy: 62, anchor: 'start' },
  part: { cx: AXIS, cy: 284, rx: 92, ry: 100, wx: AXIS, wy: 376, anchor: 'middle' },
  controller: { cx: 330, cy: 22, rx: 26, ry: 16, wx: 330, wy: 52, anchor: 'middle' },
};

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
      viewBox="0 0 360 408"
      role="img"
      aria-label={sectionWords(controller, fresh, marks)}
    >
      <Leads live={live} />
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
            {celsiusWords(live.bathTemperatureCelsius)}
          </text>
          <text class="reading-small" x="46" y="118">
            {live.isContactorClosed ? 'closed' : 'open'}
          </text>
          {run && <Thickness controller={controller} charge={charge} />}
        </g>
      )}
      {marks.map((mark) => (
        <Ring key={mark.place} mark={mark} />
      ))}
      {live && (fresh === 'lost' || fresh === 'stale') && (
        <text class="last-known" x={AXIS} y="396" text-anchor="middle">
          last known, {clockTime(live.takenAtMs)}
        </text>
      )}
    </svg>
  );
}

/** Supply, contactor with the emergency stop, shunt, bars: the way of the current. */
function Leads(props: { live: LiveView | null }) {
  const isClosed = props.live?.isContactorClosed ?? false;
  return (
    <g class={isClosed ? 'leads energised' : 'leads'}>
      <rect class="box" x="10" y="22" width="76" height="48" rx="3" />
      <text class="sign" x="24" y="66" text-anchor="middle">
        +
      </text>
      <text class="sign" x="79" y="66" text-anchor="middle">
        −
      </text>
      <path class="lead" d="M30 70V84" />
      <path class="blade" d={isClosed ? 'M30 112V84' : 'M30 112L43 88'} />
      <circle class="contact" cx="30" cy="84" r="2.6" />
      <circle class="contact" cx="30" cy="112" r="2.6" />
      <path class="link" d="M36 98H68" />
      <path class="mushroom" d="M72 88V108M72 91C82 91 86 94 86 98C86 102 82 105 72 105Z" />
      <path class="lead" d="M30 112V138" />
      <path class="bar" d="M26 140H334" />
      <path class="lead" d="M56 140V164M304 140V164" />
      <path class="lead" d="M86 60H104M152 60H176" />
      <rect class="shunt" x="104" y="53" width="48" height="14" rx="1.5" />
      <path class="sense" d="M112 53V67M144 53V67" />
    </g>
  );
}

function Tank() {
  const waves = Array.from({ length: 14 }, (_, row) => {
    const y = 190 + row * 14;
    const strokes = Array.from({ length: 7 }, (_, k) => `M${30 + (row % 2) * 22 + k * 44} ${y}q6 -2.4 12 0t12 0`);
    return <path key={y} d={strokes.slice(0, row % 2 === 0 ? 7 : 6).join('')} />;
  });
  return (
    <g>
      <path class="liquid" d="M26 176H334V384H26Z" />
      <g class="waves">{waves}</g>
      <path class="level" d="M26 176q14 -3 28 0t28 0t28 0t28 0t28 0t28 0t28 0t28 0t28 0t28 0t28 0" />
      <path class="wall" d="M18 146H26V384H334V146H342V392H18Z" />
      <rect class="anode" x="46" y="160" width="20" height="190" rx="3" />
      <rect class="anode" x="294" y="160" width="20" height="190" rx="3" />
    </g>
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

function Probe() {
  return (
    <g>
      <path class="probe-wire" d="M268 110V122" />
      <path class="sleeve" d="M264 120H272V262a4 4 0 0 1 -8 0Z" />
      <circle class="probe-tip" cx="268" cy="258" r="2.6" />
    </g>
  );
}

function Thickness(props: { controller: ControllerView; charge: number }) {
  const { recipe } = props.controller.run!;
  const [reached, asked] = micrometresOf(
    thicknessMicrometresAt(recipe, props.charge),
    recipe.averageThicknessMicrometres,
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

/** Drawn as with a pencil: once around and a little over. */
function Ring(props: { mark: Mark }) {
  const ring = rings[props.mark.place];
  const { cx, cy, rx, ry } = ring;
  const path =
    `M${cx - rx * 0.3} ${cy - ry * 0.98}C${cx - rx * 1.15} ${cy - ry * 0.8} ${cx - rx * 1.2} ${cy + ry * 0.75} ${cx} ${cy + ry}` +
    `C${cx + rx * 1.2} ${cy + ry * 1.02} ${cx + rx * 1.2} ${cy - ry * 0.85} ${cx + rx * 0.1} ${cy - ry * 1.02}` +
    `C${cx - rx * 0.3} ${cy - ry * 1.05} ${cx - rx * 0.7} ${cy - ry * 0.9} ${cx - rx * 0.85} ${cy - ry * 0.6}`;
  return (
    <g class={props.mark.kind === 'wrong' ? 'ring wrong' : 'ring wants'}>
      <path d={path} />
      {/* At the shaft the reading itself says that it stands. */}
      {props.mark.place !== 'shaft' && (
        <text x={ring.wx} y={ring.wy} text-anchor={ring.anchor}>
          {props.mark.mark}
        </text>
      )}
    </g>
  );
}
