/* Photographs as a phone's camera gives them, made in the browser under test. Used by the browser tests of photographs. */
import type { Page } from 'playwright-core';

/** A JPEG as a phone's camera gives it, made by the browser: of noise, which no quality makes small, and with the notes of a camera put in. */
export function cameraJpeg(page: Page, width: number, height: number): Promise<string> {
  return page.evaluate(
    async ([across, down]) => {
      const canvas = document.createElement('canvas');
      [canvas.width, canvas.height] = [across, down];
      const brush = canvas.getContext('2d')!;
      const noise = brush.createImageData(across, down);
      let state = 1;
      for (let k = 0; k < noise.data.length; k++) {
        state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
        noise.data[k] = k % 4 === 3 ? 255 : state >>> 24;
      }
      brush.putImageData(noise, 0, 0);
      return canvas.toDataURL('image/jpeg', 0.95).split(',')[1]!;
    },
    [width, height] as const,
  );
}
/** Exif with orientation 6: the picture is to be turned by a quarter (CIPA DC-008, tag 0x0112). */
export function withExif(jpeg: Buffer): Buffer {
  const tiff = Buffer.from('4d4d002a000000080001011200030000000100060000' + '00000000', 'hex');
  const body = Buffer.concat([Buffer.from('Exif\0\0', 'latin1'), tiff]);
  const head = Buffer.from([0xff, 0xe1, 0, body.length + 2]);
  return Buffer.concat([jpeg.subarray(0, 2), head, body, jpeg.subarray(2)]);
}
