/*
 * A JPEG without the notes that cameras and phones write beside the picture: place, time, device, thumbnail. Some browsers put such notes even into what a canvas
 * gives. Called with each photograph before it is sent; pure. The picture itself stays byte for byte (segments by ITU-T T.81, annex B).
 */

const APP0 = 0xe0;
/** ICC profile: what the colours mean. */
const APP2 = 0xe2;
/** How the colours are coded. */
const APP14 = 0xee;
const APP15 = 0xef;
const COMMENT = 0xfe;
const START_OF_SCAN = 0xda;

const isNote = (marker: number): boolean =>
  marker === COMMENT || (marker > APP0 && marker <= APP15 && marker !== APP2 && marker !== APP14);

/** What is no JPEG, or ends too early, comes back as it was: the dashboard says what is wrong with it. */
export function withoutNotes(bytes: Uint8Array<ArrayBuffer>): Uint8Array<ArrayBuffer>[] {
  const kept = [bytes.subarray(0, 2)];
  for (let at = 2; at + 4 <= bytes.length && bytes[at] === 0xff;) {
    const marker = bytes[at + 1]!;
    if (marker === START_OF_SCAN) return [...kept, bytes.subarray(at)];
    const next = at + 2 + (bytes[at + 2]! << 8) + bytes[at + 3]!;
    if (!isNote(marker)) kept.push(bytes.subarray(at, next));
    at = next;
  }
  return [bytes];
}
