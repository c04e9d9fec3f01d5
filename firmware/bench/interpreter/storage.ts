/*
 * Named files in the board's flash, as the interpreter's Storage module has them. They outlive every restart and
 * power cut of one virtual bath. No wear, no compaction: the firmware keeps its journal in FRAM.
 */
export class FlashStorage {
  readonly #files = new Map<string, string>();

  read(name: string): string | undefined {
    return this.#files.get(name);
  }
  /** Writes at an offset too, as long as the file was made large enough. */
  write(name: string, contents: string, offset = 0, size = 0): boolean {
    const old = offset > 0 ? (this.#files.get(name) ?? '') : '';
    const padded = old.padEnd(Math.max(offset, size), '\xff');
    this.#files.set(name, padded.slice(0, offset) + contents + padded.slice(offset + contents.length));
    return true;
  }
  erase(name: string): void {
    this.#files.delete(name);
  }
  eraseAll(): void {
    this.#files.clear();
  }
  /** Names count too, and eight bytes of a header each. */
  get byteCount(): number {
    let count = 0;
    for (const [name, contents] of this.#files) count += name.length + contents.length + 8;
    return count;
  }
  get names(): string[] {
    return [...this.#files.keys()];
  }
}
