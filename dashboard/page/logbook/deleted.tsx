/* Runs that were taken out of the logbook, with who did it, and until when each can be brought back. Shown below the list of runs; nothing where there is none. */
import { useState } from 'preact/hooks';
import type { Refusal } from '@bathkeeper/shared-core/messages';
import { type DeletedRun, runDay } from '@bathkeeper/shared-core/trade';
import { RefusalWords } from '../screens/refusal.js';
import { useAsked } from '../state/asked.js';
import { askDeletedRuns, bringRunBack, runPath } from '../state/logbook-api.js';
import { clockTime } from '../words/times.js';
import { ownZone } from '../words/zone.js';

export function DeletedRuns({ broughtBack }: { broughtBack: () => void }) {
  const { value: runs, refusal, again } = useAsked(askDeletedRuns, []);
  const [refused, setRefused] = useState<Refusal | null>(null);
  const bringBack = async (run: DeletedRun): Promise<void> => {
    const answer = await bringRunBack(run);
    setRefused(answer.ok ? null : answer.refusal);
    again();
    if (answer.ok) broughtBack();
  };
  if (refusal === null && refused === null && (runs === null || runs.length === 0)) return null;
  return (
    <section aria-labelledby="deleted-title">
      <h2 id="deleted-title">Deleted runs</h2>
      <RefusalWords refusal={refused ?? refusal} />
      <ol class="runs">
        {(runs ?? []).map((run) => (
          <DeletedLine key={runPath(run)} run={run} bringBack={() => void bringBack(run)} />
        ))}
      </ol>
    </section>
  );
}

function DeletedLine({ run, bringBack }: { run: DeletedRun; bringBack: () => void }) {
  const zone = ownZone();
  const { deleted, startedAtMs } = run;
  const name = run.partName ?? `Run ${String(run.run)}`;
  const when = `${runDay(startedAtMs, zone)}, ${clockTime(startedAtMs, zone)}`;
  return (
    <li class="deleted-run">
      <p>
        <strong>{name}</strong> <span class="run-when">{when}</span>
        <br />
        <span class="hint">
          {run.bathName}. Deleted by {deleted.who}, {runDay(deleted.atMs, zone)}; can be brought back until{' '}
          {runDay(deleted.goneAtMs, zone)}.
        </span>
      </p>
      <button type="button" class="quiet" aria-label={`Bring back ${name}, ${when}`} onClick={bringBack}>
        Bring back
      </button>
    </li>
  );
}
