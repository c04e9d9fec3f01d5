/* Why a model file cannot be read: what is wrong, what was expected, what was found, what to do. Thrown by the readers. */

export class UnreadableModel extends Error {
  override readonly name = 'UnreadableModel';

  /**
   * All four as parts of a sentence without a full stop.
   *
   * @example
   * new UnreadableModel('The STL file is cut short', '284 bytes for 4 triangles', '200', 'Copy or export it again');
   */
  constructor(what: string, expected: string, got: string, advice: string) {
    super(`${what}: expected ${expected}, got ${got}. ${advice}.`);
  }
}

export const exportAgain = 'Export the model again, as binary STL if in doubt';
