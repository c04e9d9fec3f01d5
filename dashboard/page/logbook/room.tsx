/* The logbook: every run, newest first, with what it gave and how it ended. Each leads to its own room. Asks on for earlier ones; brings deleted ones back. */
import { useEffect, useState } from 'preact/hooks';
import type { Refusal } from '@bathkeeper/shared-core/messages';
import { type RunListEntry, runDay, shownWith, spanWords } from '@bathkeeper/shared-core/trade';
import { RefusalWords } from '../screens/refusal.js';
import { askRuns } from '../state/logbook-api.js';
import { runAddress } from '../state/route.js';
import { units } from '../state/units.js';
import { clockTime } from '../words/times.js';
import { DeletedRuns } from './deleted.js';
import { ImportRun } from './import-run.js';
import { ownZone } from '../words/zone.js';

const RUNS_AT_ONCE = 50;

export function LogbookRoom() {
  const [runs, setRuns] = useState<readonly RunListEntry[] | null>(null);
  const [isMore, setMore] = useState(false);
  const [refusal, setRefusal] = useState<Refusal | null>(null);
  const fetchRuns = async (before: readonly RunListEntry[]): Promise<void> => {
    const answer = await askRuns(before.at(-1)?.startedAtMs, RUNS_AT_ONCE);
    setRefusal(answer.ok ? null : answer.refusal);
    if (!answer.ok) return;
    setRuns([...before, ...answer.value]);
    setMore(answer.value.length === RUNS_AT_ONCE);
  };
  useEffect(() => void fetchRuns([]), []);
  return (
    <main class="leaf logbook">
      <h1>Logbook</h1>
      {runs === null && refusal === null && <p class="hint">Looking…</p>}
      {runs?.length === 0 && <p>No run yet. The first one appears here with the press at the bath.</p>}
      <RefusalWords refusal={refusal} />
      <ol class="runs">
        {(runs ?? []).map((run) => (
          <RunLine key={`${run.controllerId}/${String(run.incarnation)}/${String(run.run)}`} run={run} />
        ))}
      </ol>
      {isMore && (
        <button type="button" class="quiet" onClick={() => void fetchRuns(runs ?? [])}>
          Show earlier runs
        </button>
      )}
      <ImportRun brought={() => void fetchRuns([])} />
      <DeletedRuns broughtBack={() => void fetchRuns([])} />
    </main>
  );
}

function RunLine({ run }: { run: RunListEntry }) {
  const name = run.partName ?? `Run ${String(run.run)}`;
  return (
    <li>
      <a href={runAddress(run)}>
        <strong>{name}</strong>
        <span class="run-when">
          {runDay(run.startedAtMs, ownZone())}, {clockTime(run.startedAtMs)}
        </span>
      </a>
      <p class="hint">{runWords(run)}</p>
    </li>
  );
}

/** Example: "Copper 60 L, 10 h 40 min, 272 Ah, 300 µm on average, 2 alarms. Ended because the charge was reached." */
function runWords(run: RunListEntry): string {
  const { endedAtMs, startedAtMs, averageThicknessMicrometres: average, alarmCount } = run;
  const facts = [
    `${run.bathName}${run.isSimulated ? ' (simulated)' : ''}`,
    ...(endedAtMs === null ? [] : [spanWords((endedAtMs - startedAtMs) / 1000)]),
    shownWith(run.chargeAmpereHours, 'Ah', units.value, 3),
    ...(average === null ? [] : [`${shownWith(average, 'µm', units.value, 3)} on average`]),
    alarmCount === 0 ? 'no alarm' : `${String(alarmCount)} ${alarmCount === 1 ? 'alarm' : 'alarms'}`,
  ];
  const open = run.goesOn ? 'It goes on.' : 'Its end was not told.';
  const end = endedAtMs === null ? open : `Ended because ${run.endedBecause ?? 'a stop was asked'}.`;
  return `${facts.join(', ')}. ${end}`;
}
