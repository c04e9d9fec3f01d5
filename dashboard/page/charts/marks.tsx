/*
 * Alarms, notes and weighings above the lanes of a chart, each at its moment; marks that a finger could not tell apart are one. A mark opens its story. Shown by the chart of a
 * bath, in its own room and in the record of a run.
 */
import { useEffect, useRef, useState } from 'preact/hooks';
import type { AlarmChartMark, ChartMark, ChartMarks, NoteChartMark } from '@bathkeeper/shared-core/messages';
import { toldOfMarks } from '../alarms/of-mark.js';
import { StoryDialog } from '../alarms/story.js';
import { groupedMarks } from '../night/band-model.js';
import { runEntryWords } from '@bathkeeper/shared-core/trade';
import { units } from '../state/units.js';
import { askMarks } from '../state/series-api.js';
import { serverNowMs } from '../state/state.js';
import { runAddress } from '../state/route.js';
import { alarmTitle } from '../words/alarm-titles.js';
import { clockTime, datedDay } from '../words/times.js';
import { type Feed, openFeed } from './series-feed.js';
import type { View } from './view.js';

const isAlarm = (mark: ChartMark): mark is AlarmChartMark => mark.kind === 'alarm';
const isNote = (mark: ChartMark): mark is NoteChartMark => mark.kind !== 'alarm';

/** What is known of the view; a mark that could not be asked for is missing, and the chart stands all the same. `written`: changes when somebody wrote. */
export function useMarks(controllerId: string, view: View, written: unknown): ChartMarks {
  const [known, setKnown] = useState<ChartMarks>({ marks: [], count: 0 });
  const feed = useRef<Feed<View> | null>(null);
  useEffect(() => {
    feed.current = openFeed<View, ChartMarks>(
      ({ from, to }) => askMarks(controllerId, from, to),
      setKnown,
      () => undefined,
    );
    return () => feed.current?.close();
  }, [controllerId]);
  useEffect(() => {
    feed.current?.want(view);
  }, [controllerId, view.from, view.to, written]);
  return known;
}

export function MarksRow(props: { known: ChartMarks; view: View; width: number; controllerId: string; zone: string }) {
  const { known, view, width, controllerId, zone } = props;
  const [opened, setOpened] = useState<readonly ChartMark[] | null>(null);
  const axis = { fromMs: view.from, toMs: view.to };
  const seen = known.marks.filter(({ atMs }) => atMs >= view.from && atMs <= view.to);
  return (
    <>
      <div class="band-marks" role="group" aria-label="Alarms, notes and weighings on the axis">
        {groupedMarks(seen, axis, width).map(({ marks, leftPixels }) => (
          <button
            key={keyOf(marks[0]!)}
            type="button"
            class="band-mark"
            ref={(button) => button?.style.setProperty('left', `${String(Math.round(leftPixels))}px`)}
            aria-label={groupWords(marks, zone)}
            data-open={marks.some((one) => isAlarm(one) && one.untilMs === null) ? 'true' : undefined}
            data-kind={marks.some(isAlarm) ? 'alarm' : 'note'}
            onClick={() => setOpened(marks)}
          >
            <span aria-hidden="true">{marks.length > 1 ? marks.length : symbol[marks[0]!.kind]}</span>
          </button>
        ))}
      </div>
      {known.count > known.marks.length && (
        <p class="hint">
          Marked are the newest {known.marks.length} of {known.count} alarms, notes and weighings: look closer for the
          others.
        </p>
      )}
      {opened !== null && (
        <MarksStory marks={opened} controllerId={controllerId} zone={zone} onClose={() => setOpened(null)} />
      )}
    </>
  );
}

/** More lines through the lanes would hide what is drawn there. */
const LINES_MAX = 24;

/** Where a line is drawn through all lanes: at the alarms in view, unless they are many. */
export function alarmMoments({ marks }: ChartMarks, view: View): number[] {
  const moments = marks.flatMap((mark) =>
    isAlarm(mark) && mark.atMs >= view.from && mark.atMs <= view.to ? [mark.atMs] : [],
  );
  return moments.length > LINES_MAX ? [] : moments;
}

const keyOf = (mark: ChartMark): string => (isAlarm(mark) ? `a${String(mark.alarmId)}` : `n${String(mark.entryId)}`);
const momentWords = (atMs: number, zone: string): string =>
  `${datedDay(atMs, serverNowMs.peek(), zone)}, ${clockTime(atMs, zone)}`;

/** The scales as a letter and not as a picture. */
const symbol: Readonly<Record<ChartMark['kind'], string>> = {
  alarm: '!',
  note: '✎',
  photograph: '✎',
  weighing: '⚖\ufe0e',
};
const sortOf: Readonly<Record<ChartMark['kind'], string>> = {
  alarm: 'alarm',
  note: 'note',
  photograph: 'note',
  weighing: 'weighing',
};
const sorts = ['alarm', 'note', 'weighing'];

/** Example: "2 alarms and 1 note", "1 alarm, 1 note and 2 weighings". */
export function countWords(marks: readonly ChartMark[]): string {
  const counted = sorts.flatMap((sort) => {
    const count = marks.filter(({ kind }) => sortOf[kind] === sort).length;
    return count === 0 ? [] : [`${String(count)} ${count === 1 ? sort : `${sort}s`}`];
  });
  const last = counted.pop() ?? '';
  return counted.length === 0 ? last : `${counted.join(', ')} and ${last}`;
}

function groupWords(marks: readonly ChartMark[], zone: string): string {
  const [first] = marks;
  if (first === undefined) return '';
  const at = momentWords(first.atMs, zone);
  if (marks.length > 1) return `${countWords(marks)} from ${at}`;
  if (isAlarm(first)) return `Alarm, ${at}: ${alarmTitle[first.name]}`;
  return first.weighing === null
    ? `Note by ${first.who}, ${at}`
    : `Weighed ${first.weighing.when} the run by ${first.who}, ${at}`;
}

function MarksStory(props: { marks: readonly ChartMark[]; controllerId: string; zone: string; onClose: () => void }) {
  const { marks, controllerId, zone } = props;
  const notes = marks.filter(isNote);
  return (
    <StoryDialog
      alarms={toldOfMarks(marks.filter(isAlarm))}
      {...(notes.length === 0 ? {} : { title: countWords(marks) })}
      onClose={props.onClose}
    >
      {notes.map((mark) => (
        <article key={mark.entryId}>
          <p class="alarm-when">
            {momentWords(mark.atMs, zone)}, {mark.who}
            {mark.kind === 'photograph' ? ': a photograph' : ''}
          </p>
          {mark.weighing !== null && <p>{runEntryWords(mark.weighing, units.value)}.</p>}
          {mark.note !== '' && <p class="written-note">{mark.note}</p>}
          <p>
            <a class="target" href={runAddress({ controllerId, ...mark })} onClick={props.onClose}>
              The record of run {mark.run}
            </a>
          </p>
        </article>
      ))}
    </StoryDialog>
  );
}
