/*
 * Gives a canvas of the page to a picture: to a worker where the browser can draw in one, else to the page itself, which then loads the
 * drawing library first. Called by the picture's component; whoever asks does not notice which.
 */
import type { AskedOfPicture, ToldByPicture } from './asked.js';

/** Each gives undefined where this browser has no such way at all; a canvas is spent by a way that was tried. */
export interface Easel {
  ask(asked: AskedOfPicture, handedOver?: Transferable[]): void;
  remove(): void;
}

/** The ways in the order in which they are tried: the next one where the one before said that it cannot draw. */
export const easels = [workerEasel, pageEasel] as const;

function workerEasel(canvas: HTMLCanvasElement, heard: (told: ToldByPicture) => void): Easel | undefined {
  if (!('transferControlToOffscreen' in canvas)) return undefined;
  const worker = new Worker(new URL('./picture-worker.ts', import.meta.url), { type: 'module' });
  worker.addEventListener('message', (event: MessageEvent<ToldByPicture>) => {
    heard(event.data);
  });
  // Its script cannot be fetched, since the dashboard has a newer page by now, or it broke.
  worker.addEventListener('error', () => {
    heard({ kind: 'cannot-draw' });
  });
  const offscreen = canvas.transferControlToOffscreen();
  worker.postMessage({ kind: 'canvas', canvas: offscreen }, [offscreen]);
  return {
    ask: (asked, handedOver = []) => {
      worker.postMessage(asked, handedOver);
    },
    remove: () => {
      worker.terminate();
    },
  };
}

function pageEasel(canvas: HTMLCanvasElement, heard: (told: ToldByPicture) => void): Easel | undefined {
  if (canvas.getContext('webgl2') === null) return undefined;
  let isRemoved = false;
  const picture = import('./part-picture.js').then(({ PartPicture }) => {
    if (isRemoved) return undefined;
    const made = PartPicture.in(canvas, heard, (draw) => {
      requestAnimationFrame(draw);
    });
    if (made === undefined) heard({ kind: 'cannot-draw' });
    return made;
  });
  picture.catch(() => {
    heard({ kind: 'cannot-draw' });
  });
  return {
    ask: (asked) => void picture.then((made) => made?.take(asked)).catch(() => undefined),
    remove: () => {
      isRemoved = true;
      void picture.then((made) => made?.dispose()).catch(() => undefined);
    },
  };
}
