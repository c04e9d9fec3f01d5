/*
 * A photograph as it is kept: drawn anew in this device, no larger than the dashboard takes, with nothing in it but the picture. Called by the form that adds one.
 * The file that was chosen leaves the device in no other way.
 */
import { withoutNotes } from './jpeg-notes.js';

/** What the dashboard takes at most. */
export const PHOTOGRAPH_BYTES_MAX = 2_000_000;
/** Fine enough to see a pit of a tenth of a millimetre on a part of twenty centimetres. */
const LONGER_SIDE_PIXELS = 2560;
const QUALITIES = [0.88, 0.78, 0.68];
const SMALLER = 0.75;
/** Below, it is the picture that is wrong and not its size. */
const LEAST_PIXELS = 64;

export type DrawnPhotograph = { readonly canvas: HTMLCanvasElement; readonly bytes: Blob } | { readonly fault: string };

export async function drawnPhotograph(file: File): Promise<DrawnPhotograph> {
  let picture: ImageBitmap;
  try {
    picture = await createImageBitmap(file);
  } catch {
    const kind = file.type === '' ? 'something unknown' : file.type;
    return {
      fault: `${file.name}: expected a picture that this browser can show (JPEG, PNG, WebP), got ${kind}, or a damaged one. Take the photograph here, or save it as a JPEG first.`,
    };
  }
  const drawn = await fitting(picture);
  picture.close();
  return (
    drawn ?? {
      fault: `${file.name}: this browser could not make the picture smaller. Make it smaller than 2 MB first, or send it from another device.`,
    }
  );
}

async function fitting(picture: ImageBitmap): Promise<Exclude<DrawnPhotograph, { fault: string }> | undefined> {
  const longer = Math.max(picture.width, picture.height);
  for (let side = Math.min(longer, LONGER_SIDE_PIXELS); side >= LEAST_PIXELS || side === longer; side *= SMALLER) {
    const canvas = drawnAt(picture, side / longer);
    if (canvas === undefined) return undefined;
    for (const quality of QUALITIES) {
      const bytes = await bare(canvas, quality);
      if (bytes !== undefined && bytes.size <= PHOTOGRAPH_BYTES_MAX) return { canvas, bytes };
    }
  }
  return undefined;
}

function drawnAt(picture: ImageBitmap, scale: number): HTMLCanvasElement | undefined {
  const canvas = document.createElement('canvas');
  canvas.width = Math.max(1, Math.round(picture.width * scale));
  canvas.height = Math.max(1, Math.round(picture.height * scale));
  const brush = canvas.getContext('2d');
  if (brush === null) return undefined;
  // What shines through becomes white paper: a JPEG knows nothing else.
  brush.fillStyle = '#fff';
  brush.fillRect(0, 0, canvas.width, canvas.height);
  brush.imageSmoothingQuality = 'high';
  brush.drawImage(picture, 0, 0, canvas.width, canvas.height);
  return canvas;
}

async function bare(canvas: HTMLCanvasElement, quality: number): Promise<Blob | undefined> {
  const blob = await new Promise<Blob | null>((resolve) => {
    canvas.toBlob(resolve, 'image/jpeg', quality);
  });
  if (blob?.type !== 'image/jpeg') return undefined;
  return new Blob(withoutNotes(new Uint8Array(await blob.arrayBuffer())), { type: 'image/jpeg' });
}
