/*
 * The painted part as a row of pieces from the contact clip outwards: each has its own copper, the paint and the copper carry the
 * current along, the liquid takes it from each. So copper closes near the clip first and the coverage spreads. Worked out once a
 * second by the tank; with one sheet resistance everywhere it is Tobias and Wijsman's resistive electrode (1953).
 */
import { COPPER_SIEMENS_PER_METRE, copperMicrometres } from './electrolyte.js';

/** Pieces of the way: with 24 the row is within 0.5 % of the closed form up to v = 3. */
const PIECES = 24;

export interface PaintedLayerOptions {
  readonly areaDm2: number;
  /** Longest way over the paint from a contact clip. */
  readonly paintWayMetres: number;
  readonly paintOhmsPerSquare: number;
  /** First copper grows in islands that do not touch: below about this thickness it adds little. */
  readonly islandMicrometres: number;
}

export class PaintedLayer {
  /** Copper on each piece, the first at the clip. */
  readonly micrometres = new Float64Array(PIECES);
  /** What part of the current each piece takes; they add up to one. */
  readonly shares = new Float64Array(PIECES).fill(1 / PIECES);
  /** Resistance of the whole part as a multiple of what it would be with an ideal conductor underneath. */
  factor = 1;
  readonly #conductances = new Float64Array(PIECES);

  constructor(readonly options: PaintedLayerOptions) {}

  /** Copper of so many grams grows as the shares have it. */
  grow(grams: number): void {
    const { areaDm2 } = this.options;
    for (let piece = 0; piece < PIECES; piece++) {
      this.micrometres[piece]! += copperMicrometres(grams * this.shares[piece]!, areaDm2 / PIECES);
    }
  }

  /** Paint and the copper on it side by side, at one piece. Islands conduct little until they touch. */
  sheetOhmsPerSquare(piece: number): number {
    const micrometres = this.micrometres[piece]!;
    const conducting = (micrometres * micrometres) / (micrometres + this.options.islandMicrometres);
    return 1 / (1 / this.options.paintOhmsPerSquare + conducting * 1e-6 * COPPER_SIEMENS_PER_METRE);
  }

  /** Part of the surface whose copper is thicker than the islands. */
  get coverage(): number {
    return this.micrometres.filter((micrometres) => micrometres >= this.options.islandMicrometres).length / PIECES;
  }

  /** Anew how the current spreads, with this area resistance of liquid and kinetics. */
  spread(areaResistanceOhmM2: number): void {
    const { areaDm2, paintWayMetres } = this.options;
    const areaM2 = areaDm2 / 100;
    const stepMetres = paintWayMetres / PIECES;
    const widthMetres = areaM2 / paintWayMetres;
    const toLiquid = areaM2 / PIECES / areaResistanceOhmM2;
    const conductances = this.#conductances;
    // From the far end to the clip: what each piece and all behind it conduct.
    let along = this.sheetOhmsPerSquare(PIECES - 1);
    conductances[PIECES - 1] = toLiquid;
    for (let piece = PIECES - 2; piece >= 0; piece--) {
      const here = this.sheetOhmsPerSquare(piece);
      const between = (((along + here) / 2) * stepMetres) / widthMetres;
      conductances[piece] = toLiquid + 1 / (between + 1 / conductances[piece + 1]!);
      along = here;
    }
    const atClip = (along * stepMetres) / 2 / widthMetres;
    this.factor = (atClip + 1 / conductances[0]!) * PIECES * toLiquid;
    // And back: of what reaches a piece, its own part goes into the liquid there.
    let arriving = 1;
    for (let piece = 0; piece < PIECES; piece++) {
      const share = (arriving * toLiquid) / conductances[piece]!;
      this.shares[piece] = share;
      arriving -= share;
    }
  }
}
