/* What was logged of one run, from its start to its end, in the room of the run. */
import { useState } from 'preact/hooks';
import type { RunRecord } from '@bathkeeper/shared-core/trade';
import { TimeChart } from '../charts/time-chart.js';
import { LEAST_MS, type View } from '../charts/view.js';
import { chartsAddress } from '../state/route.js';
import { LayOver } from './lay-over.js';

/** Some air on both sides, so that what happened with the press is not at the edge. */
const AIR_SHARE = 0.02;

export function RunChart({ record }: { record: RunRecord }) {
  const { controllerId, startedAtMs, goesOn, lastedUntilMs } = record;
  const airMs = Math.max(LEAST_MS, AIR_SHARE * (lastedUntilMs - startedAtMs));
  const whole: View = { from: startedAtMs - airMs, to: lastedUntilMs + (goesOn ? 0 : airMs) };
  // Until a hand has moved it, all of the run is seen, also while it grows.
  const [view, setView] = useState<View | null>(null);
  return (
    <section aria-labelledby="run-chart-title">
      <h2 id="run-chart-title">What was logged</h2>
      <TimeChart
        controllerId={controllerId}
        from={whole.from}
        to={whole.to}
        view={view ?? whole}
        moved={setView}
        takesEveryWheel={false}
        written={record.entries}
      />
      <p class="row">
        {view !== null && (
          <button type="button" class="quiet" onClick={() => setView(null)}>
            The whole run
          </button>
        )}
        <a class="target" href={chartsAddress(controllerId, view ?? whole)}>
          The same in the charts of the bath
        </a>
      </p>
      <LayOver runKey={record} />
    </section>
  );
}
