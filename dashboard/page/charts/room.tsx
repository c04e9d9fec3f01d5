/*
 * The charts of a bath: everything that was logged of it, from the year to the second. What is looked at stands in the address, so that it can be kept and sent.
 * Fetched when somebody comes.
 */
import { useCallback, useEffect, useState } from 'preact/hooks';
import { chartsAddress, route } from '../state/route.js';
import { serverNowMs, snapshot } from '../state/state.js';
import { TimeChart } from './time-chart.js';
import { lengthOf, type View } from './view.js';

const HOUR = 3_600_000;
const DAY = 24 * HOUR;
/** Nobody looks back further. */
const WHOLE_MS = 20 * 366 * DAY;

const spans: readonly (readonly [string, number])[] = [
  ['10 minutes', HOUR / 6],
  ['Hour', HOUR],
  ['Day', DAY],
  ['Week', 7 * DAY],
  ['Month', 31 * DAY],
  ['Year', 366 * DAY],
];

export function ChartsRoom() {
  const here = route.value;
  if (here.screen !== 'charts') return <p class="waiting">Opening…</p>;
  const { controllerId, view } = here;
  return <OneBath key={`${controllerId}/${JSON.stringify(view)}`} controllerId={controllerId} asked={view} />;
}

function OneBath({ controllerId, asked }: { controllerId: string; asked: View | null }) {
  const nowMs = serverNowMs.peek();
  const [view, setView] = useState<View>(asked ?? { from: nowMs - DAY, to: nowMs });
  const [isMoved, setMoved] = useState(false);
  const moved = useCallback((next: View) => {
    setView(next);
    setMoved(true);
  }, []);
  useEffect(() => {
    // The address follows without a new entry in the history: going back leads out of the room.
    if (isMoved) history.replaceState(null, '', chartsAddress(controllerId, view));
  }, [view]);
  const baths = snapshot.value?.controllers ?? [];
  const bathName = baths.find((one) => one.controllerId === controllerId)?.bathName ?? controllerId;
  useEffect(() => {
    document.title = `Charts · ${bathName}`;
  }, [bathName]);
  const last = (length: number) => () => moved({ from: serverNowMs.peek() - length, to: serverNowMs.peek() });
  return (
    <main class="charts-room">
      <h1>Charts: {bathName}</h1>
      {baths.length > 1 && (
        <p class="chart-baths">
          {baths
            .filter((one) => one.controllerId !== controllerId)
            .map((one) => (
              <a key={one.controllerId} class="target" href={chartsAddress(one.controllerId, null)}>
                Charts: {one.bathName}
              </a>
            ))}
        </p>
      )}
      <div class="chart-spans" role="group" aria-label="The last">
        {spans.map(([words, length]) => (
          <button
            key={words}
            type="button"
            class="quiet"
            aria-pressed={Math.abs(lengthOf(view) - length) < 1}
            onClick={last(length)}
          >
            {words}
          </button>
        ))}
      </div>
      <TimeChart
        controllerId={controllerId}
        from={nowMs - WHOLE_MS}
        to={null}
        view={view}
        moved={moved}
        takesEveryWheel
      />
    </main>
  );
}
