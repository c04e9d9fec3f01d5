/* The worker that draws the picture, so that neither shaders nor millions of corners hold up the page. The first message brings the canvas. */
import type { AskedOfPicture, ToldByPicture } from './asked.js';
import { PartPicture } from './part-picture.js';

let picture: PartPicture | undefined;

const tell = (told: ToldByPicture): void => {
  postMessage(told);
};

addEventListener('message', (event: MessageEvent<AskedOfPicture | { kind: 'canvas'; canvas: OffscreenCanvas }>) => {
  const asked = event.data;
  if (asked.kind !== 'canvas') picture?.take(asked);
  else {
    picture = PartPicture.in(asked.canvas, tell, (draw) => {
      // Some browsers have canvases in workers, and no frames.
      if (typeof requestAnimationFrame === 'function') requestAnimationFrame(draw);
      else setTimeout(draw, 16);
    });
    if (picture === undefined) tell({ kind: 'cannot-draw' });
  }
});
