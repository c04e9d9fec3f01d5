/*
 * Random numbers that a seed decides, one independent stream per source of noise, so that a draw more in one
 * part of the bath never shifts the numbers of another. Used by the tank, the chips and the sockets of the virtual
 * bath; never by anything that runs on a board.
 */

/** 32 bit FNV-1a hash; it spreads a seed and a stream's name over the generator's state. */
function spread(text: string): number {
  let hash = 0x811c9dc5;
  for (let index = 0; index < text.length; index++) hash = Math.imul(hash ^ text.charCodeAt(index), 0x01000193);
  return hash >>> 0;
}

/** One stream. `new SeededNoise(1, 'ripple').uniform()` is the same number today and in ten years. */
export class SeededNoise {
  #state: number;
  #spareGaussian: number | undefined;

  constructor(seed: number, streamName: string) {
    this.#state = spread(`${seed}/${streamName}`);
  }

  /** Evenly spread whole number, 0 to 2^32 - 1 (mulberry32, a published 32 bit generator in the public domain). */
  uint32(): number {
    this.#state = (this.#state + 0x6d2b79f5) >>> 0;
    let mixed = this.#state;
    mixed = Math.imul(mixed ^ (mixed >>> 15), mixed | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return (mixed ^ (mixed >>> 14)) >>> 0;
  }

  /** Evenly spread, 0 up to but not including 1. */
  uniform(): number {
    return this.uint32() / 4294967296;
  }

  /** Normal distribution, mean 0, standard deviation 1 (Box and Muller 1958; both numbers of a pair are used). */
  gaussian(): number {
    const spare = this.#spareGaussian;
    if (spare !== undefined) {
      this.#spareGaussian = undefined;
      return spare;
    }
    const radius = Math.sqrt(-2 * Math.log(1 - this.uniform()));
    const angle = 2 * Math.PI * this.uniform();
    this.#spareGaussian = radius * Math.sin(angle);
    return radius * Math.cos(angle);
  }
}
