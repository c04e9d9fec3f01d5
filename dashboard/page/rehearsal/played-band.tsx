/* The played night as a band with its phases, read by touching it; faults go through all its lanes. Shown in the outcome of a rehearsal. */
import { useMemo } from 'preact/hooks';
import type { RehearsalResult } from '@bathkeeper/shared-core/trade';
import { LaneBand, type LaneBandProps } from '../night/lane-band.js';
import { afterWords } from '../plan/ahead-lines.js';
import { units } from '../state/units.js';
import { playedContent } from './played-chart.js';
import { playedLines, playedMoment, playedSpans } from './played-lines.js';

const LANES = 4;

export function PlayedBand(props: { result: RehearsalResult; label: string }) {
  const { result } = props;
  const system = units.value;
  const lines = useMemo(() => playedLines(result, system), [result, system]);
  const content = useMemo(
    (): LaneBandProps['content'] => (colours, ticks) => playedContent({ lines, ticks, units: system }, colours),
    [lines, system],
  );
  return (
    <LaneBand
      axis={lines.axis}
      spans={playedSpans(result)}
      content={content}
      lanes={LANES}
      label={props.label}
      moment={(atMs) => playedMoment(result, atMs, system)}
      timeWords={afterWords}
      hint="Touch the band to read it. An upright line: something goes wrong there."
    />
  );
}
