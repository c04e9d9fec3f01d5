/* The open font that lies in every PDF of a sheet: DejaVu Sans Condensed, upright and bold, with letters from Latin to Cyrillic, Greek and Arabic, ° µ ² Ω. Read once. */
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import type PDFDocument from 'pdfkit';
import type { Letters } from './letters.js';

const folder = join(createRequire(import.meta.url).resolve('dejavu-fonts-ttf/package.json'), '..', 'ttf');

export interface SheetFont {
  readonly upright: Buffer;
  readonly bold: Buffer;
}

export function sheetFont(): SheetFont {
  const read = (name: string): Buffer => readFileSync(join(folder, `${name}.ttf`));
  return { upright: read('DejaVuSansCondensed'), bold: read('DejaVuSansCondensed-Bold') };
}

/** Under these names a document has them. */
export const fontName = (isBold: boolean): string => (isBold ? 'bold' : 'upright');

/** The letters as this document will draw them. */
export function lettersOf(document: typeof PDFDocument.prototype, { upright, bold }: SheetFont): Letters {
  document.registerFont('upright', upright);
  document.registerFont('bold', bold);
  document.font('upright');
  // What it opened the font with knows which letters are in it; the types say nothing of it.
  const { font } = (document as unknown as { readonly _font: { readonly font: { hasGlyphForCodePoint(code: number): boolean } } })._font; // prettier-ignore
  return {
    width: (text, size, isBold) => document.font(fontName(isBold)).fontSize(size).widthOfString(text),
    has: (letter) => font.hasGlyphForCodePoint(letter.codePointAt(0)!),
  };
}
