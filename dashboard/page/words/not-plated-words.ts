/*
 * What somebody chose as not plated, in phrases: so that a saved plan and a job sheet know it when the model is gone. Pure; used by what a plan takes of a
 * model. Written in metric, like every sentence that is kept.
 */
import type { CutOff, NotPlated, RegionSummary, Taken } from '@bathkeeper/shared-core/part';
import type { UpAxis } from '../part/picture/view.js';
import { areaWords, lengthWords, pieceWords } from './part-words.js';

export interface NotPlatedPieces {
  /** The largest smooth surfaces. */
  readonly regions: readonly RegionSummary[];
  /** How much of each is not plated, and how much was not before anybody chose (closed cavities); undefined before the worker has said. */
  readonly taken: readonly Taken[] | undefined;
  readonly atFirst: readonly Taken[] | undefined;
  readonly boxMm: { readonly min: readonly number[] };
  /** Of all closed cavities together, at its scale. */
  readonly cavityDm2: number;
  /** Millimetres of the part for one of the lengths above. */
  readonly factor: number;
  readonly up: UpAxis;
}

/** More than this nobody reads on a sheet. */
const PIECES_TOLD = 12;

/** Example: ["flat, faces down, 1.2 dm²", "everything above 135 mm along z, upright", "closed cavities, 0.2 dm²"]. */
export function notPlatedWords(notPlated: NotPlated, pieces: NotPlatedPieces): string[] {
  const { cutOff, areCavitiesPlated, choices } = notPlated;
  const told = choices.length === 0 ? [] : chosenWords(pieces);
  return [
    ...(choices.length > 0 && told.length === 0 ? ['small places, chosen on the picture'] : told),
    ...(cutOff === undefined ? [] : [cutOffWords(cutOff, pieces)]),
    ...(areCavitiesPlated || pieces.cavityDm2 <= 0
      ? []
      : [`closed cavities, ${plain(areaWords(pieces.cavityDm2, 'metric'))}`]),
  ];
}

/** By smooth surfaces: a face or a whole body that was chosen is some of them. */
function chosenWords({ regions, taken, atFirst, factor, up }: NotPlatedPieces): string[] {
  const told = regions.flatMap((piece, place) => {
    const share = taken?.[place] ?? 'none';
    if (share === 'none' || share === atFirst?.[place]) return [];
    const area = plain(areaWords((piece.areaMm2 * factor ** 2) / 10_000, 'metric'));
    return [`${lowered(pieceWords(piece, up))}, ${share === 'all' ? '' : 'a part of its '}${area}`];
  });
  const left = told.length - PIECES_TOLD;
  return left > 0 ? [...told.slice(0, PIECES_TOLD), `${String(left)} more, smaller`] : told;
}

function cutOffWords({ axis, side, atMm }: CutOff, { boxMm, factor, up }: NotPlatedPieces): string {
  const height = plain(lengthWords((atMm - boxMm.min['xyz'.indexOf(axis)]!) * factor, 'metric'));
  return `everything ${side} ${height} along ${axis}${axis === up ? ', upright' : ''}`;
}

/** A fixed space is for the screen. */
const plain = (words: string): string => words.replaceAll('\u00a0', ' ');
const lowered = (words: string): string => words.charAt(0).toLowerCase() + words.slice(1);
