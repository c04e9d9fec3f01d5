/* Letters as the sheet's font has them: how wide, and how a sentence breaks into lines. The font itself comes from whoever draws (written-pdf.ts). */
export interface Letters {
  /** Points. */
  width(text: string, size: number, isBold: boolean): number;
  has(letter: string): boolean;
}

/** For a letter that the font lacks. */
export const UNKNOWN = '□';

/** The text with a box for every letter that the font lacks; what is no letter at all (controls) is left out. */
export function printable(text: string, letters: Letters): string {
  return [...text.replace(/[\u2066-\u2069]/g, '').replace(/\p{Cc}|\p{Cf}/gu, ' ')]
    .map((one) => (letters.has(one) ? one : UNKNOWN))
    .join('');
}

export interface Style {
  readonly size: number;
  readonly isBold: boolean;
}

/** Broken at spaces, and within a word that is wider than the line. Never empty. A space that holds a number and its unit together is no place to break. */
export function linesOf(text: string, width: number, { size, isBold }: Style, letters: Letters): string[] {
  const wide = (part: string): number => letters.width(part, size, isBold);
  const space = wide(' ');
  const lines: string[] = [];
  let line = '';
  let used = 0;
  const put = (word: string, length: number): void => {
    if (line !== '' && used + space + length > width) {
      lines.push(line);
      line = '';
    }
    used = line === '' ? length : used + space + length;
    line = line === '' ? word : `${line} ${word}`;
  };
  for (const word of text.split(/[ \n\t]+/).filter((one) => one !== '')) {
    const length = wide(word);
    if (length <= width) put(word, length);
    else for (const part of broken(word, width, wide)) put(part, wide(part));
  }
  return [...lines, line];
}

function broken(word: string, width: number, wide: (part: string) => number): string[] {
  const parts: string[] = [];
  let part = '';
  for (const letter of word) {
    if (part !== '' && wide(part + letter) > width) {
      parts.push(part);
      part = '';
    }
    part += letter;
  }
  return [...parts, part];
}

/** No more lines than asked; `isCut`: the last one ends with an ellipsis. */
export function atMost(lines: readonly string[], count: number): { readonly lines: string[]; readonly isCut: boolean } {
  if (lines.length <= count) return { lines: [...lines], isCut: false };
  return { lines: [...lines.slice(0, count - 1), `${lines[count - 1]!.replace(/.{2}$/u, '')}…`], isCut: true };
}
