/* Two runs of the logbook laid over each other, by start or by charge, each with the way to its record. */
import { useEffect, useState } from 'preact/hooks';
import { runDay, runName, type RunKey, type RunRecord, shownWith, spanWords } from '@bathkeeper/shared-core/trade';
import { CompareChart } from '../charts/compare-chart.js';
import type { Alignment } from '../charts/two-runs.js';
import { uncompared } from '../charts/uncompared.js';
import { RefusalWords } from '../screens/refusal.js';
import { useAsked } from '../state/asked.js';
import { askRun } from '../state/logbook-api.js';
import { compareAddress, LOGBOOK_ADDRESS, route, runAddress } from '../state/route.js';
import { units } from '../state/units.js';
import { ownZone } from '../words/zone.js';

export function CompareRoom() {
  const here = route.value;
  if (here.screen !== 'compare') return <p class="waiting">Opening…</p>;
  const { first, second } = here;
  return <TwoRuns key={compareAddress(first, second)} first={first} second={second} />;
}

function TwoRuns({ first, second }: { first: RunKey; second: RunKey }) {
  const [one, other] = [useAsked(() => askRun(first), []), useAsked(() => askRun(second), [])];
  useEffect(() => {
    document.title = 'Two runs · Logbook';
  }, []);
  const both = one.value !== null && other.value !== null ? ([one.value, other.value] as const) : null;
  return (
    <main class="charts-room">
      <h1>Two runs</h1>
      <RefusalWords refusal={one.refusal} />
      <RefusalWords refusal={other.refusal} />
      {both === null && one.refusal === null && other.refusal === null && <p class="waiting">Fetching the runs…</p>}
      {both !== null && <Laid runs={both} />}
      <p>
        <a class="target" href={LOGBOOK_ADDRESS}>
          Back to the logbook
        </a>
      </p>
    </main>
  );
}

const alignments: readonly (readonly [Alignment, string])[] = [
  ['start', 'From the start of each'],
  ['charge', 'By charge'],
];

function Laid({ runs }: { runs: readonly [RunRecord, RunRecord] }) {
  const [alignment, setAlignment] = useState<Alignment>('start');
  const names = [shortName(runs[0]), shortName(runs[1])] as const;
  const missing = uncompared(alignment, runs, names);
  return (
    <>
      <ul class="two-runs">
        {runs.map((run, index) => (
          <li key={index} data-place={index === 0 ? 'first' : 'second'}>
            <a class="target" href={runAddress(run)}>
              {names[index]}
            </a>{' '}
            <span class="hint">{factsOf(run)}</span>
          </li>
        ))}
      </ul>
      <div class="chart-spans" role="group" aria-label="Laid over each other">
        {alignments.map(([name, words]) => (
          <button
            key={name}
            type="button"
            class="quiet"
            aria-pressed={alignment === name}
            onClick={() => setAlignment(name)}
          >
            {words}
          </button>
        ))}
      </div>
      {missing.words.map((words) => (
        <p key={words} role="status">
          {words}
        </p>
      ))}
      {missing.isDrawn && <CompareChart key={alignment} runs={runs} names={names} alignment={alignment} />}
    </>
  );
}

/** Example: "Fluted bell lampshade, Mon 9 Feb 2026". */
const shortName = (run: RunRecord): string => `${runName(run)}, ${runDay(run.startedAtMs, ownZone())}`;

function factsOf({ bathName, startedAtMs, lastedUntilMs, measures }: RunRecord): string {
  const span = spanWords((lastedUntilMs - startedAtMs) / 1000);
  return `${bathName}, ${span}, ${shownWith(measures.chargeAmpereHours, 'Ah', units.value)}`;
}
