/*
 * Everything that wants to stand on the printed run sheet, in the order of its weight, before anybody knows how much paper there is: the groups of the run's page,
 * the bath, and what happened with the notes among it. Called by the dashboard's sheet; what has no room there is named by `leftOutWords`.
 */
import type { ImportedRun } from '../../messages/imported-run.js';
import type { UnitSystem } from '../units.js';
import { shownWith } from '../words-in-units.js';
import type { RunEntry } from './run-entry.js';
import type { RunRecord } from './run-record.js';
import { BALANCE, COST, runSheet, type SheetGroup, type SheetLine, type SheetRow } from './run-sheet.js';
import { farDay, runDay, runMoment } from './run-times.js';

/** What went through the bath of the run, by its ledger. */
export interface BathAge {
  readonly bathId: number;
  /** Of the ledger. */
  readonly bathName: string;
  /** null: its make-up was never written down. */
  readonly madeUpAtMs: number | null;
  /** null: nobody has read its level. */
  readonly litres: number | null;
  readonly beforeAmpereHours: number;
  readonly afterAmpereHours: number;
}

export interface PrintedLine extends Omit<SheetLine, 'kind'> {
  readonly kind: SheetLine['kind'] | 'note';
  /** The lowest stays longest where room is short. */
  readonly rank: number;
  /** Under which name it is counted where it has no room: an alarm's title. */
  readonly countedAs: string;
}

export interface PrintedSheet {
  readonly title: string;
  /** SIMULATED, IMPORTED: what a reader must see first. */
  readonly marks: readonly string[];
  readonly whose: string;
  readonly when: string;
  readonly groups: readonly SheetGroup[];
  /** In order of time. */
  readonly story: readonly PrintedLine[];
  /** Where to look for what has no room. */
  readonly elsewhere: string;
  /** How to read it years later. */
  readonly foot: string;
}

export interface SheetReader {
  readonly units: UnitSystem;
  /** IANA name. */
  readonly zone: string;
  readonly writtenAtMs: number;
}

export interface AroundTheRun {
  /** null: no ledger was under its controller. */
  readonly bathAge: BathAge | null;
  /** null: a controller of this dashboard told it. */
  readonly imported: ImportedRun | null;
}

/** A longer note is shortened; the logbook has all of it. */
const NOTE_LETTERS_MAX = 280;

export function printedSheet(
  record: RunRecord,
  { bathAge, imported }: AroundTheRun,
  { units, zone, writtenAtMs }: SheetReader,
): PrintedSheet {
  const sheet = runSheet(record, units, zone);
  const photographs = standing(record).filter(
    ({ body }) => body.kind === 'photograph' && body.isElsewhere !== true,
  ).length;
  const origin =
    imported === null
      ? []
      : [
          `Imported ${runDay(imported.importedAtMs, zone)} by ${imported.importedBy} from ${imported.fileName}, where it was run ${String(imported.run)} of ${imported.original.controllerId}.`,
        ];
  return {
    title: sheet.title,
    marks: [...(record.isSimulated ? ['SIMULATED'] : []), ...(imported === null ? [] : ['IMPORTED'])],
    whose: sheet.whose.replace(/^SIMULATED\. /, ''),
    when: [sheet.when, ...origin].join(' '),
    groups: [
      // Paper is for what is known.
      ...sheet.groups.filter(({ title }) => title !== COST || record.cost.total !== null),
      ...(sheet.groups.some(({ title }) => title === BALANCE)
        ? []
        : [{ title: BALANCE, rows: [{ label: 'Weight', words: 'not weighed before and after' }] }]),
      { title: 'The bath', rows: bathRows(bathAge, units, zone) },
    ],
    story: ranked(
      [...shortAdvice(sheet.story).map((line) => counted(line, record)), ...noteLines(record, zone)],
      record,
    ),
    elsewhere: `the logbook, run ${String(record.run)} of ${record.controllerId}`,
    foot:
      `Written ${runDay(writtenAtMs, zone)}, ${runMoment(writtenAtMs, zone).slice(4)} from what the controller told; times are those of ${zone}; ${units} units; ` +
      'thickness is an average by Faraday’s law or an estimate, with its bounds in brackets' +
      `${photographs === 0 ? '' : `; ${String(photographs)} ${photographs === 1 ? 'photograph lies' : 'photographs lie'} in the logbook`}.`,
  };
}

const standing = ({ entries }: RunRecord): RunEntry[] => entries.filter(({ undone }) => undone === null);

type Unranked = Omit<PrintedLine, 'rank'>;

function counted(line: SheetLine, { alarms }: RunRecord): Unranked {
  const alarm = alarms.find((told) => told.alarm.alarmId === line.alarmId)?.alarm;
  return { ...line, countedAs: alarm?.title ?? '' };
}

/** The same advice stands once: whoever reads the second interruption has read the first. */
function shortAdvice(story: readonly SheetLine[]): SheetLine[] {
  const read = new Set<string>();
  return story.map((line) => {
    if (line.kind !== 'interruption') return line;
    const at = line.words.indexOf('. ');
    const advice = line.words.slice(at + 2);
    if (at < 0 || advice === '') return line;
    if (read.has(advice)) return { ...line, words: `${line.words.slice(0, at)}: as above.` };
    read.add(advice);
    return line;
  });
}

/** Of each sort so many before the next ones of any, so that a hundred alarms leave room for phases, interruptions and notes. */
const A_ROUND = { end: 1, phase: 6, interruption: 6, high: 6, medium: 3, note: 3, low: 2, happening: 2 } as const;
type Sort = keyof typeof A_ROUND;
const sorts = Object.keys(A_ROUND) as Sort[];

function ranked(story: readonly Unranked[], { alarms }: RunRecord): PrintedLine[] {
  const seen = new Map<Sort, number>();
  const priorities = new Map(alarms.map(({ alarm }) => [alarm.alarmId, alarm.priority]));
  return [...story]
    .sort((one, other) => one.atMs - other.atMs)
    .map((line) => {
      const sort: Sort = line.kind === 'alarm' ? (priorities.get(line.alarmId ?? -1) ?? 'low') : line.kind;
      const before = seen.get(sort) ?? 0;
      seen.set(sort, before + 1);
      return { ...line, rank: Math.floor(before / A_ROUND[sort]) * sorts.length + sorts.indexOf(sort) };
    });
}

/** What somebody's words stand with. */
const notedIn: Readonly<Record<RunEntry['body']['kind'], string>> = {
  note: 'Note',
  photograph: 'Photograph',
  weighing: 'Weighing',
};

function noteLines(record: RunRecord, zone: string): Unranked[] {
  return standing(record)
    .filter(({ note }) => note !== '')
    .map(({ atMs, who, note, body }) => {
      const letters = [...note.replace(/\s+/g, ' ').trim()];
      const isCut = letters.length > NOTE_LETTERS_MAX;
      const shown = isCut
        ? `${letters.slice(0, NOTE_LETTERS_MAX).join('')}… (the rest in the logbook)`
        : letters.join('');
      return {
        kind: 'note',
        atMs,
        at: runMoment(atMs, zone),
        words: `${farDay(atMs, record.startedAtMs, zone)}${notedIn[body.kind]} by ${who}: “${shown}”`,
        weight: 'course',
        countedAs: '',
      };
    });
}

/** Of a run's page too. */
export function bathRows(age: BathAge | null, units: UnitSystem, zone: string): SheetRow[] {
  if (age === null) return [{ label: 'Bath age', words: 'not known: no ledger was under this controller' }];
  const { bathName, madeUpAtMs, litres, beforeAmpereHours: before, afterAmpereHours: after } = age;
  const per = (ampereHours: number): string =>
    litres === null || litres <= 0 ? '' : `, ${shownWith(ampereHours / litres, 'Ah/L', units, 3)}`;
  return [
    {
      label: 'Bath',
      words: [
        bathName,
        ...(litres === null ? [] : [shownWith(litres, 'L', units, 3)]),
        ...(madeUpAtMs === null ? [] : [`made up ${runDay(madeUpAtMs, zone)}`]),
      ].join(', '),
    },
    { label: 'Bath age before', words: `${shownWith(before, 'Ah', units)}${per(before)}` },
    { label: 'Bath age after', words: `${shownWith(after, 'Ah', units)}${per(after)}` },
  ];
}

const SORTS: Readonly<Record<PrintedLine['kind'], readonly [one: string, more: string]>> = {
  alarm: ['alarm', 'alarms'],
  interruption: ['interruption', 'interruptions'],
  phase: ['phase', 'phases'],
  happening: ['remark of the controller', 'remarks of the controller'],
  note: ['note', 'notes'],
  end: ['end', 'ends'],
};
const TITLES_NAMED = 4;

/** Example: "And 14 more alarms (12 × Rotation stopped, 2 × Bath warm; all acknowledged), 2 more phases: in the logbook, run 3 of north-bench." "": nothing was left out. */
export function leftOutWords(
  left: readonly PrintedLine[],
  record: Pick<RunRecord, 'alarms'>,
  elsewhere: string,
): string {
  const parts = (Object.keys(SORTS) as PrintedLine['kind'][]).flatMap((kind) => {
    const these = left.filter((line) => line.kind === kind);
    if (these.length === 0) return [];
    const [one, more] = SORTS[kind];
    return [
      `${String(these.length)} more ${these.length === 1 ? one : more}${kind === 'alarm' ? alarmsNamed(these, record) : ''}`,
    ];
  });
  return parts.length === 0 ? '' : `And ${parts.join(', ')}: in ${elsewhere}.`;
}

function alarmsNamed(left: readonly PrintedLine[], { alarms }: Pick<RunRecord, 'alarms'>): string {
  const counts = new Map<string, number>();
  for (const { countedAs } of left) counts.set(countedAs, (counts.get(countedAs) ?? 0) + 1);
  const named = [...counts].sort(([, one], [, other]) => other - one);
  const ids = new Set(left.map(({ alarmId }) => alarmId));
  const unseen = alarms.filter(({ alarm }) => ids.has(alarm.alarmId) && alarm.acknowledgedAtMs === null).length;
  const words = [
    ...named.slice(0, TITLES_NAMED).map(([title, count]) => `${String(count)} × ${title}`),
    ...(named.length > TITLES_NAMED ? [`${String(named.length - TITLES_NAMED)} other kinds`] : []),
  ];
  return ` (${words.join(', ')}; ${unseen === 0 ? 'all acknowledged' : `${String(unseen)} that nobody acknowledged`})`;
}
