/*
 * One run of the logbook: what was deposited, how it ran, what was asked, what happened, its alarms with their stories. Asked for anew while the run goes on.
 * What stands here is written by run-sheet.ts of the core, as on the printed sheet.
 */
import { useEffect, useState } from 'preact/hooks';
import type { AlarmView } from '@bathkeeper/shared-core/messages';
import {
  bathRows,
  type Figure,
  type RunKey,
  type RunRecord,
  type RunSheet,
  runSheet,
} from '@bathkeeper/shared-core/trade';
import { StoryDialog } from '../alarms/story.js';
import { FigureReason } from '../plan/figure-reason.js';
import { RefusalWords } from '../screens/refusal.js';
import { useAsked } from '../state/asked.js';
import { askRun } from '../state/logbook-api.js';
import { ledgerAddress, LOGBOOK_ADDRESS, route } from '../state/route.js';
import { DeleteRun } from './delete-run.js';
import { RunChart } from './run-chart.js';
import { RunFiles } from './run-files.js';
import { Written } from './written.js';
import { told, units } from '../state/units.js';
import { ownZone } from '../words/zone.js';

const ASK_EVERY_MS = 20_000;

export function RunRoom() {
  const here = route.value;
  if (here.screen !== 'run') return <p class="waiting">Opening…</p>;
  const { controllerId, incarnation, run } = here.key;
  return <OneRun key={`${controllerId}/${String(incarnation)}/${String(run)}`} runKey={here.key} />;
}

function OneRun({ runKey }: { runKey: RunKey }) {
  const { value: record, refusal, again } = useAsked(() => askRun(runKey), []);
  const goesOn = record?.goesOn === true;
  useEffect(() => {
    if (!goesOn) return undefined;
    const timer = setInterval(again, ASK_EVERY_MS);
    return () => clearInterval(timer);
  }, [goesOn]);
  return (
    <main class="leaf run-room">
      {record === null && refusal === null && <p class="waiting">Fetching the run…</p>}
      {record === null && <RefusalWords refusal={refusal} />}
      {record !== null && <RunLeaf record={record} changed={again} />}
      <p>
        <a class="target" href={LOGBOOK_ADDRESS}>
          Back to the logbook
        </a>
      </p>
    </main>
  );
}

function RunLeaf({ record, changed }: { record: RunRecord; changed: () => void }) {
  const sheet = runSheet(record, units.value, ownZone());
  return (
    <>
      <h1>{sheet.title}</h1>
      <p class="run-whose">{sheet.whose}</p>
      <p>{sheet.when}</p>
      <RunGroups
        groups={[...sheet.groups, { title: 'The bath', rows: bathRows(record.bathAge, units.value, ownZone()) }]}
      />
      {record.bathAge !== null && (
        <p>
          <a class="target" href={ledgerAddress(record.bathAge.bathId)}>
            The ledger of this bath
          </a>
        </p>
      )}
      <RunChart record={record} />
      <Story lines={sheet.story} />
      <Alarms record={record} />
      <Written record={record} changed={changed} />
      <RunFiles runKey={record} />
      <DeleteRun record={record} />
    </>
  );
}

function RunGroups({ groups }: { groups: RunSheet['groups'] }) {
  return (
    <>
      {groups.map(({ title, rows }) => (
        <section key={title}>
          <h2>{title}</h2>
          <dl class="lines run-lines">
            {rows.map(({ label, words, figure }) => (
              <div key={label}>
                <dt>{label}</dt>
                <dd>{figure === undefined ? words : <Reasoned words={words} figure={figure} />}</dd>
              </div>
            ))}
          </dl>
        </section>
      ))}
    </>
  );
}

/** A figure opens to its formula, what went into it, and its source. */
function Reasoned({ words, figure }: { words: string; figure: Figure }) {
  return (
    <details class="figure run-figure">
      <summary>
        <span class="figure-name">{words}</span>
      </summary>
      <FigureReason figure={figure} units={units.value} />
    </details>
  );
}

function Story({ lines }: { lines: RunSheet['story'] }) {
  return (
    <section>
      <h2>What happened</h2>
      {lines.length === 0 && <p class="hint">The controller told nothing of it.</p>}
      <ol class="story-lines">
        {lines.map(({ at, words, weight }, place) => (
          <li key={place} data-weight={weight}>
            <time>{at}</time> {words}
          </li>
        ))}
      </ol>
    </section>
  );
}

function Alarms({ record }: { record: RunRecord }) {
  const [opened, setOpened] = useState<AlarmView | null>(null);
  if (record.alarms.length === 0) return null;
  return (
    <section>
      <h2>Alarms</h2>
      <ul class="run-alarms">
        {record.alarms.map(({ alarm }) => (
          <li key={alarm.alarmId}>
            <button
              type="button"
              class="quiet"
              aria-label={`Story of the alarm: ${told(alarm.title)}`}
              onClick={() => setOpened(alarm)}
            >
              {told(alarm.title)}
            </button>
          </li>
        ))}
      </ul>
      {opened !== null && <StoryDialog alarms={[opened]} onClose={() => setOpened(null)} />}
    </section>
  );
}
