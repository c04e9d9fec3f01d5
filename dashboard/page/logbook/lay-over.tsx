/* The choice of another run to lay over this one: the newest of the logbook. Shown below the chart of a run; asks for them only when somebody wants it. */
import { useState } from 'preact/hooks';
import type { Refusal } from '@bathkeeper/shared-core/messages';
import { type RunKey, type RunListEntry, runDay } from '@bathkeeper/shared-core/trade';
import { RefusalWords } from '../screens/refusal.js';
import { askRuns, runPath } from '../state/logbook-api.js';
import { compareAddress } from '../state/route.js';
import { clockTime } from '../words/times.js';
import { ownZone } from '../words/zone.js';

/** Newest ones that can be chosen. */
const RUNS_OFFERED = 200;

export function LayOver({ runKey }: { runKey: RunKey }) {
  const [runs, setRuns] = useState<readonly RunListEntry[] | null>(null);
  const [refusal, setRefusal] = useState<Refusal | null>(null);
  const fetchRuns = async (): Promise<void> => {
    const answer = await askRuns(undefined, RUNS_OFFERED);
    setRefusal(answer.ok ? null : answer.refusal);
    if (answer.ok) setRuns(answer.value.filter((run) => runPath(run) !== runPath(runKey)));
  };
  if (runs === null)
    return (
      <>
        <button type="button" class="quiet" onClick={() => void fetchRuns()}>
          Lay another run over it…
        </button>
        <RefusalWords refusal={refusal} />
      </>
    );
  if (runs.length === 0) return <p class="hint">There is no other run in the logbook.</p>;
  const go = (path: string): void => {
    const chosen = runs.find((run) => runPath(run) === path);
    if (chosen !== undefined) location.hash = compareAddress(runKey, chosen);
  };
  return (
    <label class="field lay-over">
      <span>Lay over it</span>
      <select value="" onChange={(event) => go(event.currentTarget.value)}>
        <option value="">Choose a run</option>
        {runs.map((run) => (
          <option key={runPath(run)} value={runPath(run)}>
            {run.partName ?? `Run ${String(run.run)}`}, {runDay(run.startedAtMs, ownZone())},{' '}
            {clockTime(run.startedAtMs, ownZone())}, {run.bathName}
          </option>
        ))}
      </select>
    </label>
  );
}
