/* The newest Hull cell panel, drawn from the edge of the highest current density on, with what was seen where and at which current density. The words beside it say the same. */
import {
  type BathProfile,
  hullAmpsPerDm2,
  type HullCellBody,
  hullPanelMm,
  hullRangeMm,
  inUnits,
  shownWith,
  significant,
  unitName,
} from '@bathkeeper/shared-core/trade';
import { units } from '../state/units.js';
import { stretchWords } from './care-words.js';

const WIDTH = 320;
const EDGE = 12;
const PANEL_TOP = 22;
const PANEL_HEIGHT = 44;
/** Places at which the current density is written, as shares of the formula's range. */
const WRITTEN_AT = [0, 0.12, 0.35, 0.65, 1];

export function HullPanel(props: { panel: HullCellBody; profile: BathProfile }) {
  const { cell, cellAmps, seen } = props.panel;
  const x = (fromEdgeMm: number): number => EDGE + (fromEdgeMm / hullPanelMm(cell)) * (WIDTH - 2 * EDGE);
  const { fromMm, toMm } = hullRangeMm(cell);
  const { min, max } = props.profile.cathodeDensityAmpsPerDm2;
  const written = WRITTEN_AT.map((share) => fromMm + share * (toMm - fromMm));
  const density = (atMm: number): string =>
    significant(inUnits(hullAmpsPerDm2(cell, cellAmps, atMm) ?? 0, 'A/dm²', units.value).value, 2);
  return (
    <figure class="hull-panel">
      <svg
        viewBox={`0 0 ${String(WIDTH)} ${String(PANEL_TOP + PANEL_HEIGHT + 22)}`}
        role="img"
        aria-label={`Panel of ${shownWith(hullPanelMm(cell), 'mm', units.value, 3)}: ${seen.map((one) => stretchWords(one, units.value)).join('; ')}`}
      >
        {written.map((atMm) => (
          <g key={atMm}>
            <text x={x(atMm)} y={14}>
              {density(atMm)}
            </text>
            <line x1={x(atMm)} x2={x(atMm)} y1={17} y2={PANEL_TOP} />
          </g>
        ))}
        <rect class="panel" x={x(0)} y={PANEL_TOP} width={x(hullPanelMm(cell)) - x(0)} height={PANEL_HEIGHT} />
        {seen.map((one, at) => (
          <g key={at} data-look={one.look}>
            <rect x={x(one.fromMm)} y={PANEL_TOP} width={x(one.toMm) - x(one.fromMm)} height={PANEL_HEIGHT} />
            <text x={(x(one.fromMm) + x(one.toMm)) / 2} y={PANEL_TOP + PANEL_HEIGHT + 16}>
              {at + 1}
            </text>
          </g>
        ))}
      </svg>
      <figcaption>
        {unitName('A/dm²', units.value)} along the panel after the published line (Metal Finishing Guidebook 2013, p.
        482), good to about a fifth. Usual in this bath: {significant(inUnits(min, 'A/dm²', units.value).value, 3)} to{' '}
        {shownWith(max, 'A/dm²', units.value, 3)}.
      </figcaption>
      <ol>
        {seen.map((one, at) => (
          <li key={at}>{stretchWords(one, units.value)}</li>
        ))}
      </ol>
    </figure>
  );
}
