/*
 * One page of the run sheet, laid out: every word at its place in points, and of what happened as much as there is room for, the gravest first; the rest is named
 * and counted. Asked by the thread that makes sheets; PDF and HTML both show what was chosen here. Pure, but for the letters' widths that it asks.
 */
import {
  leftOutWords,
  type PrintedLine,
  type PrintedSheet,
  type RunRecord,
  type SheetGroup,
} from '@bathkeeper/shared-core/trade';
import { type Letters, linesOf, type Style } from './letters.js';
import { MARGIN, papers, type Paper } from './paper.js';
import { type SetColumns, setGroups } from './set-groups.js';

export interface SetWord extends Style {
  readonly x: number;
  /** Of the line's upper edge. */
  readonly y: number;
  readonly text: string;
  readonly tone: 'ink' | 'faint' | 'care';
}
export interface SetRule {
  readonly x: number;
  readonly y: number;
  readonly width: number;
}
/** A line of what happened, with its number where the picture shows it. */
export interface ShownLine extends PrintedLine {
  readonly number: number | null;
}

export interface SetSheet {
  readonly words: readonly SetWord[];
  readonly rules: readonly SetRule[];
  readonly picture: { readonly x: number; readonly y: number; readonly width: number; readonly height: number };
  /** With the words that had room. */
  readonly groups: readonly SheetGroup[];
  readonly shown: readonly ShownLine[];
  /** Whole sentences on what has no room here. */
  readonly leftOut: readonly string[];
  /** Alarm → its number. */
  readonly numbers: ReadonlyMap<number, number>;
}

export const SMALL: Style = { size: 7.2, isBold: false };
const SMALL_BOLD: Style = { size: 7.2, isBold: true };
const HEAD: Style = { size: 8.6, isBold: true };
const FOOT: Style = { size: 6.2, isBold: false };
/** Of a line to the size of its letters. */
const LEADING = 1.28;
export const lineHeight = ({ size }: Style): number => size * LEADING;

const TITLE_SIZES = [17, 14, 12, 10];
const COLUMN_GAP = 16;
const TIME_WIDTH = 38;
const SIGNATURE_HEIGHT = 30;
const PICTURE_SHARES = [0.25, 0.2, 0.15];
const STORY_MIN = 180;
const ROW_LINES = [5, 3, 2, 1];
const LEFT_OUT_LINES = 4;

interface Head {
  readonly words: readonly SetWord[];
  readonly bottom: number;
}

export function setSheet(sheet: PrintedSheet, record: Pick<RunRecord, 'alarms'>, paper: Paper, letters: Letters): SetSheet {
  const { width: paperWidth, height: paperHeight } = papers[paper];
  const width = paperWidth - 2 * MARGIN;
  const head = setHead(sheet, width, letters);
  const foot = setFoot(sheet.foot, width, paperHeight - MARGIN, letters);
  const { groups, pictureHeight } = roomFor(sheet.groups, { width, height: foot.top - head.bottom, paperHeight }, letters);
  const picture = { x: MARGIN, y: head.bottom + 6, width, height: pictureHeight };
  const groupsTop = picture.y + picture.height + 8;
  const storyTop = groupsTop + groups.height + 8;
  const shortened = groups.shortened.map((label) => `“${label}” is shortened here; all of it stands in ${sheet.elsewhere}.`);
  const story = fitted(sheet, record, { top: storyTop, bottom: foot.top - 6, width, notes: shortened }, letters);
  return {
    words: [...head.words, ...groups.words.map((one) => ({ ...one, y: one.y + groupsTop })), ...story.words, ...foot.words],
    rules: [
      ...groups.rules.map((one) => ({ ...one, y: one.y + groupsTop })),
      { x: MARGIN, y: storyTop - 3, width },
      ...foot.rules,
    ],
    picture,
    groups: groups.groups,
    shown: story.shown,
    leftOut: story.leftOut,
    numbers: story.numbers,
  };
} // prettier-ignore

function setHead(sheet: PrintedSheet, width: number, letters: Letters): Head {
  const marks = sheet.marks.join(', ');
  const right = marks === '' ? 'Run sheet' : `Run sheet · ${marks}`;
  const rightWidth = letters.width(right, HEAD.size, true);
  const titleWidth = width - rightWidth - 12;
  const sizes = TITLE_SIZES.map((size) => ({ style: { size, isBold: true }, lines: linesOf(sheet.title, titleWidth, { size, isBold: true }, letters) })); // prettier-ignore
  const { style, lines } = sizes.find((one) => one.lines.length <= 2) ?? sizes.at(-1)!;
  const words: SetWord[] = [
    { x: MARGIN + width - rightWidth, y: MARGIN + 2, text: right, ...HEAD, tone: marks === '' ? 'faint' : 'care' },
    ...lines.map((text, index): SetWord => ({ x: MARGIN, y: MARGIN + index * style.size * 1.15, text, ...style, tone: 'ink' })),
  ]; // prettier-ignore
  let y = MARGIN + lines.length * style.size * 1.15 + 3;
  for (const text of [...linesOf(sheet.whose, width, SMALL, letters), ...linesOf(sheet.when, width, SMALL, letters)]) {
    words.push({ x: MARGIN, y, text, ...SMALL, tone: 'ink' });
    y += lineHeight(SMALL);
  }
  return { words, bottom: y };
}

function setFoot(words: string, width: number, bottom: number, letters: Letters): { top: number; words: SetWord[]; rules: SetRule[] } {
  const lines = linesOf(words, width, FOOT, letters);
  const textTop = bottom - lines.length * lineHeight(FOOT);
  const signatureY = textTop - 7;
  const fields: readonly (readonly [string, number, number])[] = [
    ['Looked at and kept by', 0, 0.44],
    ['Date', 0.46, 0.64],
    ['Signature', 0.66, 1],
  ];
  return {
    top: textTop - SIGNATURE_HEIGHT,
    words: [
      ...fields.map(([text, from]): SetWord => ({ x: MARGIN + from * width, y: signatureY - SMALL.size - 1.5, text, ...SMALL, tone: 'faint' })),
      ...lines.map((text, index): SetWord => ({ x: MARGIN, y: textTop + index * lineHeight(FOOT), text, ...FOOT, tone: 'faint' })),
    ],
    rules: fields.map(([text, from, to]) => {
      const x = MARGIN + from * width + letters.width(text, SMALL.size, false) + 4;
      return { x, y: signatureY, width: MARGIN + to * width - x };
    }),
  };
} // prettier-ignore

/** The largest picture and the longest rows that leave room for what happened. */
function roomFor(
  groups: readonly SheetGroup[],
  room: { readonly width: number; readonly height: number; readonly paperHeight: number },
  letters: Letters,
): { readonly groups: SetColumns; readonly pictureHeight: number } {
  const tries = ROW_LINES.flatMap((rowLines) => {
    const set = setGroups(groups, { width: room.width, gap: COLUMN_GAP, rowLines, x: MARGIN }, letters);
    return PICTURE_SHARES.map((share) => ({ groups: set, pictureHeight: share * room.paperHeight }));
  });
  return tries.find((one) => one.pictureHeight + one.groups.height + STORY_MIN + 28 <= room.height) ?? tries.at(-1)!;
}

interface StoryRoom {
  readonly top: number;
  readonly bottom: number;
  readonly width: number;
  readonly notes: readonly string[];
}

interface Fitted {
  readonly words: SetWord[];
  readonly shown: ShownLine[];
  readonly leftOut: string[];
  readonly numbers: Map<number, number>;
}

function fitted(sheet: PrintedSheet, record: Pick<RunRecord, 'alarms'>, room: StoryRoom, letters: Letters): Fitted {
  const column = (room.width - COLUMN_GAP) / 2;
  const headHeight = lineHeight(HEAD) + 2;
  const set = sheet.story.map((line) => ({ line, lines: linesOf(told(line, '00 '), column - TIME_WIDTH, SMALL, letters) }));
  const heights = set.map(({ lines }) => lines.length * lineHeight(SMALL));
  const reserved = LEFT_OUT_LINES * lineHeight(SMALL_BOLD);
  const noteLines = room.notes.flatMap((words) => linesOf(words, room.width, SMALL_BOLD, letters)).length;
  const whole = room.bottom - room.top - headHeight - noteLines * lineHeight(SMALL_BOLD);
  let kept = chosen(sheet.story, heights, whole);
  const isAll = kept.size === sheet.story.length;
  if (!isAll) kept = chosen(sheet.story, heights, whole - reserved);
  const left = sheet.story.filter((_, index) => !kept.has(index));
  const leftOut = [...(isAll ? [] : [leftOutWords(left, record, sheet.elsewhere)]), ...room.notes];

  const numbers = new Map<number, number>();
  const shown: ShownLine[] = [];
  const words: SetWord[] = [{ x: MARGIN, y: room.top, text: 'What happened', ...HEAD, tone: 'ink' }];
  if (sheet.story.length === 0)
    words.push({ x: MARGIN, y: room.top + headHeight, text: 'The controller told nothing of it.', ...SMALL, tone: 'faint' });
  const order = [...kept].sort((one, other) => one - other);
  const height = balanced(order.map((index) => heights[index]!), isAll ? whole : whole - reserved);
  let at = { x: MARGIN, y: room.top + headHeight };
  for (const index of order) {
    const { line } = set[index]!;
    const number = line.alarmId === undefined ? null : numbers.size + 1;
    if (line.alarmId !== undefined) numbers.set(line.alarmId, numbers.size + 1);
    shown.push({ ...line, number });
    if (at.y + heights[index]! > room.top + headHeight + height + 0.01) at = { x: MARGIN + column + COLUMN_GAP, y: room.top + headHeight };
    words.push({ x: at.x, y: at.y, text: line.at, ...SMALL, tone: 'faint' });
    const tone = line.weight === 'care' ? 'care' : 'ink';
    const lines = linesOf(told(line, number === null ? '' : `${String(number)} `), column - TIME_WIDTH, SMALL, letters);
    for (const [row, text] of lines.entries())
      words.push({ x: at.x + TIME_WIDTH, y: at.y + row * lineHeight(SMALL), text, ...SMALL, tone });
    at = { x: at.x, y: at.y + heights[index]! };
  }
  let y = room.top + headHeight + height + 2;
  for (const text of leftOut.flatMap((sentence) => linesOf(sentence, room.width, SMALL_BOLD, letters))) {
    words.push({ x: MARGIN, y, text, ...SMALL_BOLD, tone: 'ink' });
    y += lineHeight(SMALL_BOLD);
  }
  return { words, shown, leftOut, numbers };
} // prettier-ignore

const told = ({ kind, words }: PrintedLine, number: string): string =>
  kind === 'alarm' ? `Alarm ${number}· ${words}` : words;

/** The gravest first, of equal ones the earliest, until one finds no room. */
function chosen(story: readonly PrintedLine[], heights: readonly number[], height: number): Set<number> {
  const wanted = story.map((_, index) => index).sort((one, other) => story[one]!.rank - story[other]!.rank || one - other);
  const kept = new Set<number>();
  let sum = 0;
  for (const index of wanted) {
    sum += heights[index]!;
    // Long before it is full the sum alone says that there is room.
    kept.add(index);
    if (sum <= height || flows([...kept].sort((one, other) => one - other).map((one) => heights[one]!), height)) continue;
    kept.delete(index);
    break;
  }
  return kept;
} // prettier-ignore

/** Whether so many, in their order, stand in two columns of this height. */
function flows(heights: readonly number[], height: number): boolean {
  let columns = 1;
  let y = 0;
  for (const one of heights) {
    if (y + one > height) {
      columns++;
      y = 0;
    }
    if (one > height) return false;
    y += one;
  }
  return columns <= 2;
}

/** The least height in which they stand in two columns, so that both are about as long. */
function balanced(heights: readonly number[], most: number): number {
  const step = lineHeight(SMALL);
  for (let height = step; height < most; height += step) if (flows(heights, height)) return height;
  return most;
}
