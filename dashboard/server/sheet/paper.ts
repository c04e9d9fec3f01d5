/* The papers of the run sheet, in points of 1/72 inch: A4 (ISO 216) and Letter (ANSI/ASME Y14.1, size A). Asked by whoever lays out, draws or writes the sheet. */
export const papers = {
  a4: { name: 'A4', width: 595.28, height: 841.89 },
  letter: { name: 'Letter', width: 612, height: 792 },
} as const;
export type Paper = keyof typeof papers;
export const paperKeys = Object.keys(papers) as [Paper, ...Paper[]];

/** 12 mm: what home printers leave white anyway is 3 to 6 mm (common practice, no source). */
export const MARGIN = 34;
