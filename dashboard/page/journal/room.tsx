/*
 * The journal of alarms: every change of every alarm with who and when, newest first, filtered by bath and by alarm; above it one night
 * in figures. Reached from the heading. It reads and changes nothing.
 */
import { useState } from 'preact/hooks';
import type { AlarmName, JournalEntry, Refusal, Snapshot } from '@bathkeeper/shared-core/messages';
import { RefusalWords } from '../screens/refusal.js';
import { askJournal, HOUSE_IN_ADDRESS } from '../state/api.js';
import { useAsked } from '../state/asked.js';
import { alarmAddress } from '../state/route.js';
import { serverNowMs, snapshot } from '../state/state.js';
import { alarmTitle } from '../words/alarm-titles.js';
import { actWords } from '../words/journal-words.js';
import { clockTimeToSecond, dayHeading } from '../words/times.js';
import { NightFigures } from './figures.js';

/** Of one asking; older ones are asked for. */
const ENTRIES_AT_ONCE = 100;

export function JournalScreen(props: { known: Snapshot }) {
  const { controllers } = props.known;
  const [controller, setController] = useState('');
  const [alarm, setAlarm] = useState<AlarmName | ''>('');
  const bathName = controllers.find((one) => one.controllerId === controller)?.bathName;
  const figuresOf = controllers.find((one) => one.controllerId === controller) ?? controllers[0];
  return (
    <main class="leaf journal">
      <h1>Journal of alarms</h1>
      {figuresOf !== undefined && (
        <NightFigures
          key={figuresOf.controllerId}
          controllerId={figuresOf.controllerId}
          bathName={figuresOf.bathName}
        />
      )}
      <section aria-labelledby="entries-title">
        <h2 id="entries-title">{bathName === undefined ? 'Every change' : `Every change at ${bathName}`}</h2>
        <div class="filters">
          <label>
            Bath
            <select value={controller} onChange={(event) => setController(event.currentTarget.value)}>
              <option value="">every bath, and the house</option>
              <option value={HOUSE_IN_ADDRESS}>the house itself</option>
              {controllers.map((one) => (
                <option key={one.controllerId} value={one.controllerId}>
                  {one.bathName} ({one.controllerId})
                </option>
              ))}
            </select>
          </label>
          <label>
            Alarm
            <select value={alarm} onChange={(event) => setAlarm(event.currentTarget.value as AlarmName | '')}>
              <option value="">every alarm</option>
              {(Object.entries(alarmTitle) as [AlarmName, string][]).map(([name, title]) => (
                <option key={name} value={name}>
                  {title}
                </option>
              ))}
            </select>
          </label>
        </div>
        <Entries key={`${controller} ${alarm}`} controller={controller} alarm={alarm} known={props.known} />
      </section>
    </main>
  );
}

function Entries(props: { controller: string; alarm: string; known: Snapshot }) {
  const filter = {
    ...(props.controller === '' ? {} : { controller: props.controller }),
    ...(props.alarm === '' ? {} : { alarm: props.alarm }),
    count: ENTRIES_AT_ONCE,
  };
  // A change of any alarm makes new entries.
  const seen = (snapshot.value?.alarms ?? []).map((one) => `${String(one.alarmId)}${one.state}`).join(' ');
  const { value: newest, refusal } = useAsked(() => askJournal(filter), [seen]);
  const [older, setOlder] = useState<readonly JournalEntry[]>([]);
  const [isEnd, setEnd] = useState(false);
  const [olderRefusal, setOlderRefusal] = useState<Refusal | null>(null);
  const [isBusy, setBusy] = useState(false);
  if (newest === null) return refusal ? <RefusalWords refusal={refusal} /> : <p class="hint">Fetching the journal…</p>;
  const oldestNew = newest.at(-1)?.entryId ?? 0;
  const entries = [...newest, ...older.filter((entry) => entry.entryId < oldestNew)];
  const more = async (): Promise<void> => {
    const last = entries.at(-1);
    if (last === undefined) return;
    setBusy(true);
    const answer = await askJournal({ ...filter, before: last.entryId });
    setBusy(false);
    setOlderRefusal(answer.ok ? null : answer.refusal);
    if (answer.ok) {
      setOlder([...entries.filter((entry) => entry.entryId < oldestNew), ...answer.value]);
      setEnd(answer.value.length < ENTRIES_AT_ONCE);
    }
  };
  if (entries.length === 0) return <p class="hint">Nothing of the kind is in the journal.</p>;
  const mayHaveMore = !isEnd && newest.length >= ENTRIES_AT_ONCE;
  return (
    <>
      {byDay(entries).map((day) => (
        <section class="journal-day" key={day.heading} aria-label={day.heading}>
          <h3>{day.heading}</h3>
          <ol>
            {day.entries.map((entry) => (
              <Entry key={entry.entryId} entry={entry} known={props.known} />
            ))}
          </ol>
        </section>
      ))}
      {mayHaveMore && (
        <button type="button" class="quiet" disabled={isBusy} onClick={() => void more()}>
          Older entries
        </button>
      )}
      <RefusalWords refusal={olderRefusal ?? refusal} />
    </>
  );
}

/** The whole line leads to the story of its alarm; an act on a name that was not raised has none. */
function Entry(props: { entry: JournalEntry; known: Snapshot }) {
  const { entry, known } = props;
  const bath = known.controllers.find((one) => one.controllerId === entry.controllerId)?.bathName;
  const line = (
    <>
      <time>{clockTimeToSecond(entry.atMs)}</time>
      <span>
        <strong>{alarmTitle[entry.name] ?? entry.name}</strong> {actWords(entry)}
        <span class="unit"> · {bath ?? (entry.controllerId === '' ? 'the house' : entry.controllerId)}</span>
      </span>
    </>
  );
  return (
    <li data-what={entry.what}>
      {entry.alarmId === null ? (
        <div class="journal-line">{line}</div>
      ) : (
        <a class="journal-line" href={alarmAddress(entry.alarmId)}>
          {line}
        </a>
      )}
    </li>
  );
}

function byDay(entries: readonly JournalEntry[]): { heading: string; entries: JournalEntry[] }[] {
  const nowMs = serverNowMs.value;
  const days: { heading: string; entries: JournalEntry[] }[] = [];
  for (const entry of entries) {
    const heading = dayHeading(entry.atMs, nowMs);
    const last = days.at(-1);
    if (last?.heading === heading) last.entries.push(entry);
    else days.push({ heading, entries: [entry] });
  }
  return days;
}
