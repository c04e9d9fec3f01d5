/*
 * A run sheet made of what is known of the run: laid out once with the letters of the PDF's font, then drawn as PDF or written as HTML. Called in the thread that
 * sheet-thread.ts is; plain values in, bytes out.
 */
import PDFDocument from 'pdfkit';
import type { Series } from '@bathkeeper/shared-core/messages';
import {
  type AroundTheRun,
  type PrintedSheet,
  printedSheet,
  type RunRecord,
  type SheetReader,
} from '@bathkeeper/shared-core/trade';
import { type Letters, printable, UNKNOWN } from './letters.js';
import { nightPicture, type Picture } from './night-picture.js';
import type { Paper } from './paper.js';
import { setSheet, type SetSheet } from './set-sheet.js';
import { lettersOf, sheetFont } from './sheet-font.js';
import { drawSheet, pdfOptions } from './written-pdf.js';
import { sheetHtml } from './written-html.js';

export type SheetFormat = 'pdf' | 'html';

export interface SheetAsked {
  readonly format: SheetFormat;
  readonly paper: Paper;
  readonly record: RunRecord;
  readonly series: Series;
  readonly around: AroundTheRun;
  readonly reader: SheetReader;
}

export async function madeSheet(asked: SheetAsked): Promise<Uint8Array> {
  const { format, paper, record, around, reader } = asked;
  const sheet = printedSheet(record, around, reader);
  const pdf = new PDFDocument(pdfOptions(paper, `Run sheet: ${sheet.title}`, reader.writtenAtMs));
  const bytes = collected(pdf);
  const letters = lettersOf(pdf, sheetFont());
  const set = format === 'pdf' ? setInFont(sheet, asked, letters) : setSheet(sheet, record, paper, letters);
  const picture = pictureOf(asked, set, letters);
  if (format === 'html') return Buffer.from(sheetHtml(sheet, set, picture, paper));
  drawSheet(pdf, set, picture);
  pdf.end();
  return bytes;
}

function pictureOf({ record, series, reader }: SheetAsked, set: SetSheet, letters: Letters): Picture {
  const { width, height } = set.picture;
  return nightPicture({ record, series, numbers: set.numbers, units: reader.units, zone: reader.zone, width, height, letters });
} // prettier-ignore

/** A letter that the font lacks becomes a box, and the sheet says so where one stands on it: what had no room needs no words. */
function setInFont(sheet: PrintedSheet, { record, paper }: SheetAsked, letters: Letters): SetSheet {
  const shown = JSON.parse(JSON.stringify(sheet), (_key, value: unknown) =>
    typeof value === 'string' ? printable(value, letters) : value,
  ) as PrintedSheet;
  const set = setSheet(shown, record, paper, letters);
  const isBoxed = set.words.some(({ text }) => text.includes(UNKNOWN));
  if (!isBoxed || JSON.stringify(sheet).includes(UNKNOWN)) return set;
  const foot = `${shown.foot} ${UNKNOWN} stands for a letter that this PDF’s font lacks: the sheet as a web page shows it.`;
  return setSheet({ ...shown, foot }, record, paper, letters);
} // prettier-ignore

function collected(pdf: PDFKit.PDFDocument): Promise<Uint8Array> {
  const parts: Uint8Array[] = [];
  return new Promise((done, failed) => {
    pdf.on('data', (part: Uint8Array) => parts.push(part));
    pdf.on('end', () => {
      done(Buffer.concat(parts));
    });
    pdf.on('error', failed);
  });
}
