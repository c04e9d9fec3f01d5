/* The run sheet as PDF (ISO 32000): one page, lines as vectors, letters as letters in a font that lies in the file. Called in the thread that makes sheets. */
import { type Paper, papers } from './paper.js';
import type { Picture, Point, Tone } from './night-picture.js';
import { PICTURE_SIZE } from './night-picture.js';
import type { SetSheet } from './set-sheet.js';
import { fontName } from './sheet-font.js';
import { tones } from './tones.js';

export type Pdf = PDFKit.PDFDocument;

export function drawSheet(pdf: Pdf, set: SetSheet, picture: Picture): void {
  for (const { x, y, width } of set.rules)
    pdf.moveTo(x, y).lineTo(x + width, y).lineWidth(0.4).strokeColor(tones.day.rule).stroke(); // prettier-ignore
  pdf.save().translate(set.picture.x, set.picture.y);
  drawPicture(pdf, picture);
  pdf.restore();
  for (const { x, y, text, size, isBold, tone } of set.words) write(pdf, text, [x, y], { size, isBold, tone });
}

function write(pdf: Pdf, text: string, [x, y]: Point, style: { size: number; isBold: boolean; tone: Tone }): void {
  pdf.font(fontName(style.isBold)).fontSize(style.size).fillColor(tones.day[style.tone]);
  pdf.text(text, x, y, { lineBreak: false });
}

function drawPicture(pdf: Pdf, { shapes }: Picture): void {
  for (const shape of shapes) {
    if (shape.kind === 'text') {
      pdf.font(fontName(false)).fontSize(PICTURE_SIZE);
      const wide = pdf.widthOfString(shape.words);
      const [x, baseline] = shape.at;
      const left = shape.anchor === 'start' ? x : shape.anchor === 'end' ? x - wide : x - wide / 2;
      pdf
        .fillColor(tones.day[shape.tone])
        .text(shape.words, left, baseline, { lineBreak: false, baseline: 'alphabetic' });
      continue;
    }
    const [first, ...rest] = shape.points;
    if (first === undefined) continue;
    pdf.moveTo(...first);
    for (const point of rest) pdf.lineTo(...point);
    if (shape.kind === 'area') pdf.closePath().fillColor(tones.day[shape.tone]).fill();
    else {
      if (shape.isDashed === true) pdf.dash(2, { space: 1.6 });
      pdf.lineWidth(shape.width).lineJoin('round').strokeColor(tones.day[shape.tone]).stroke().undash();
    }
  }
}

export const pdfOptions = (paper: Paper, title: string, writtenAtMs: number): PDFKit.PDFDocumentOptions => ({
  size: [papers[paper].width, papers[paper].height],
  // Its own margins would begin a second page below the foot.
  margin: 0,
  lang: 'en',
  displayTitle: true,
  info: { Title: title, Creator: 'Bathkeeper', CreationDate: new Date(writtenAtMs) },
  autoFirstPage: true,
});
