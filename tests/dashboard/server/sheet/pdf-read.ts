/* Reads a PDF with another library than the one that writes it: its pages, their size, their words. Used by the tests of run sheets. */
import { getDocument } from 'pdfjs-dist/legacy/build/pdf.mjs';

export interface ReadPage {
  /** Points. */
  readonly width: number;
  readonly height: number;
  readonly words: string;
  /** Of every word its place, from the lower left corner. */
  readonly places: readonly { readonly text: string; readonly x: number; readonly y: number; readonly width: number }[];
}

export async function pagesOf(bytes: Uint8Array): Promise<{ readonly title: unknown; readonly pages: ReadPage[] }> {
  const task = getDocument({ data: new Uint8Array(bytes), useSystemFonts: false, verbosity: 0 });
  const document = await task.promise;
  const { info } = await document.getMetadata();
  const pages: ReadPage[] = [];
  for (let number = 1; number <= document.numPages; number++) {
    const page = await document.getPage(number);
    const { width, height } = page.getViewport({ scale: 1 });
    const { items } = await page.getTextContent();
    const places = items.flatMap((item) =>
      'str' in item
        ? [{ text: item.str, x: item.transform[4] as number, y: item.transform[5] as number, width: item.width }]
        : [],
    );
    const words = places.map(({ text }) => text).join(' ').replace(/\s+/g, ' '); // prettier-ignore
    pages.push({ width, height, words, places });
  }
  await task.destroy();
  return { title: (info as { Title?: unknown }).Title, pages };
}
