/* The groups of figures of a run sheet in two columns of about equal length, their order kept. Asked by set-sheet.ts; its places count from the upper edge of the groups. */
import type { SheetGroup } from '@bathkeeper/shared-core/trade';
import { atMost, type Letters, linesOf, type Style } from './letters.js';
import type { SetRule, SetWord } from './set-sheet.js';

export interface SetColumns {
  readonly words: readonly SetWord[];
  readonly rules: readonly SetRule[];
  readonly height: number;
  /** As they are shown: rows with the words that had room. */
  readonly groups: readonly SheetGroup[];
  /** Labels of rows that had more words than room. */
  readonly shortened: readonly string[];
}

interface Room {
  readonly x: number;
  readonly width: number;
  readonly gap: number;
  /** No row is longer. */
  readonly rowLines: number;
}

const LABEL_SHARE = 0.42;
const GROUP_GAP = 5;
const HEADING: Style = { size: 8.2, isBold: true };
const ROW: Style = { size: 7.2, isBold: false };
const HEADING_HEIGHT = HEADING.size * 1.4;
const LINE_HEIGHT = ROW.size * 1.28;
const ROW_GAP = 1.1;

interface SetGroup {
  readonly height: number;
  readonly at: (x: number, y: number) => { readonly words: SetWord[]; readonly rules: SetRule[] };
  readonly shown: SheetGroup;
  readonly shortened: readonly string[];
}

export function setGroups(groups: readonly SheetGroup[], room: Room, letters: Letters): SetColumns {
  const width = (room.width - room.gap) / 2;
  const set = groups.map((group) => setGroup(group, width, room.rowLines, letters));
  const lengthOf = (some: readonly SetGroup[]): number => some.reduce((sum, { height }) => sum + height + GROUP_GAP, 0);
  const splits = set.map((_, index) => [set.slice(0, index + 1), set.slice(index + 1)] as const);
  const longer = ([one, other]: (typeof splits)[number]): number => Math.max(lengthOf(one), lengthOf(other));
  const best = splits.reduce((least, split) => (longer(split) < longer(least) ? split : least));
  const placed = best.flatMap((column, index) => {
    let y = 0;
    return column.map((group) => {
      const at = group.at(room.x + index * (width + room.gap), y);
      y += group.height + GROUP_GAP;
      return at;
    });
  });
  return {
    words: placed.flatMap(({ words }) => words),
    rules: placed.flatMap(({ rules }) => rules),
    height: longer(best),
    groups: set.map(({ shown }) => shown),
    shortened: set.flatMap(({ shortened }) => shortened),
  };
}

function setGroup({ title, rows }: SheetGroup, width: number, rowLines: number, letters: Letters): SetGroup {
  const labelWidth = LABEL_SHARE * width - 6;
  const set = rows.map(({ label, words }) => {
    const labels = atMost(linesOf(label, labelWidth, ROW, letters), rowLines);
    const values = atMost(linesOf(words, (1 - LABEL_SHARE) * width, ROW, letters), rowLines);
    return { label, words, labels: labels.lines, values: values.lines, isCut: values.isCut };
  });
  const heightOf = ({ labels, values }: (typeof set)[number]): number =>
    Math.max(labels.length, values.length) * LINE_HEIGHT + ROW_GAP;
  return {
    height: HEADING_HEIGHT + set.reduce((sum, row) => sum + heightOf(row), 0),
    shown: {
      title,
      rows: set.map(({ label, words, values, isCut }) => ({ label, words: isCut ? values.join(' ') : words })),
    },
    shortened: set.filter(({ isCut }) => isCut).map(({ label }) => label),
    at: (x, top) => {
      const words: SetWord[] = [{ x, y: top, text: title, ...HEADING, tone: 'ink' }];
      const rules: SetRule[] = [];
      let y = top + HEADING_HEIGHT;
      for (const row of set) {
        rules.push({ x, y: y - 0.8, width });
        for (const [index, text] of row.labels.entries())
          words.push({ x, y: y + index * LINE_HEIGHT, text, ...ROW, tone: 'faint' });
        for (const [index, text] of row.values.entries())
          words.push({ x: x + LABEL_SHARE * width, y: y + index * LINE_HEIGHT, text, ...ROW, tone: 'ink' });
        y += heightOf(row);
      }
      return { words, rules };
    },
  };
}
