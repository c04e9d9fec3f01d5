/*
 * The night that a plan makes, from the press at the bath to the open contactor: as a band with its phases, read by touching it, and as a table. Part of the
 * plan's room; asks nobody for anything.
 */
import { useMemo } from 'preact/hooks';
import type { Plan, UnitSystem } from '@bathkeeper/shared-core/trade';
import { LaneBand, type LaneBandProps } from '../night/lane-band.js';
import { aheadContent } from './ahead-chart.js';
import { aheadLines, aheadSpans, aheadSummary, afterWords, momentWords } from './ahead-lines.js';
import { NightTable } from './night-table.js';

export function NightAhead(props: { plan: Plan; units: UnitSystem }) {
  const { units } = props;
  const { night } = props.plan;
  const lines = useMemo(() => aheadLines(night, units), [night, units]);
  const content = useMemo(
    (): LaneBandProps['content'] => (colours, ticks) => aheadContent({ lines, ticks, units }, colours),
    [lines, units],
  );
  return (
    <section class="night-ahead" aria-labelledby="night-ahead-title">
      <h2 id="night-ahead-title">The night ahead</h2>
      <LaneBand
        axis={lines.axis}
        spans={aheadSpans(night)}
        content={content}
        lanes={lines.bath === undefined ? 3 : 4}
        label={aheadSummary(night, units)}
        moment={(atMs) => momentWords(night, atMs, units)}
        timeWords={afterWords}
        hint="Touch the band to read it. Dashed with a band around it: an estimate and its bounds; the paint’s own resistance at the start is not in it."
      />
      {lines.bath === undefined && (
        <p class="hint">Give the volume of the bath, and its warming stands here as well.</p>
      )}
      <details class="fold band-table">
        <summary>The night ahead as a table</summary>
        <div class="table-frame">
          <NightTable night={night} units={units} />
        </div>
      </details>
    </section>
  );
}
