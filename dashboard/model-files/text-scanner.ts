/*
 * Reads words and numbers out of the bytes of a text file without making a text of it: a file of 500 MB would not fit
 * into one. Called by the readers of ASCII STL and OBJ. Words are parted by blanks; a line ends with LF, CR or both.
 */
const lineFeed = 10;
const carriageReturn = 13;
const blank = 32;
/** Longer words are no numbers and no keywords. */
const mostNumberBytes = 64;
/** Powers of ten up to 22 and whole numbers below 2^53 are exact in 64 bits, so one product or quotient is rounded once. */
const exactPowers = Array.from({ length: 23 }, (_, power) => Number(`1e${String(power)}`));

export class TextScanner {
  at = 0;
  line = 1;
  /** Where the newest word begins and ends. */
  wordStart = 0;
  wordEnd = 0;

  constructor(readonly bytes: Uint8Array) {
    if (bytes[0] === 0xef && bytes[1] === 0xbb && bytes[2] === 0xbf) this.at = 3; // byte order mark
  }

  /** Goes to the next word, over line ends too; false at the end of the file. */
  nextWord(): boolean {
    while (!this.wordOnLine()) if (!this.nextLine()) return false;
    return true;
  }

  /** Goes to the next word of this line; false where there is none. */
  wordOnLine(): boolean {
    const { bytes } = this;
    let at = this.at;
    while (at < bytes.length && bytes[at]! <= blank && bytes[at] !== lineFeed && bytes[at] !== carriageReturn) at++;
    this.wordStart = at;
    while (at < bytes.length && bytes[at]! > blank) at++;
    this.wordEnd = at;
    this.at = at;
    return at > this.wordStart;
  }

  /** Goes behind the end of this line; false where the file ends. */
  nextLine(): boolean {
    const { bytes } = this;
    let at = this.at;
    while (at < bytes.length && bytes[at] !== lineFeed && bytes[at] !== carriageReturn) at++;
    if (at === bytes.length) {
      this.at = at;
      return false;
    }
    this.at = at + (bytes[at] === carriageReturn && bytes[at + 1] === lineFeed ? 2 : 1);
    this.line++;
    return true;
  }

  /** Whether the newest word is this one, in lower case letters; capitals count as the same. */
  isWord(word: string): boolean {
    if (this.wordEnd - this.wordStart !== word.length) return false;
    for (let i = 0; i < word.length; i++)
      if ((this.bytes[this.wordStart + i]! | 0x20) !== word.charCodeAt(i)) return false;
    return true;
  }

  /** The newest word as a number, NaN where it is none. Knows -1, .5, 1e-3, +2; no NaN, Infinity or hexadecimal. */
  number(): number {
    const { bytes, wordEnd } = this;
    let at = this.wordStart;
    const isNegative = bytes[at] === 0x2d;
    if (isNegative || bytes[at] === 0x2b) at++;
    let digits = 0;
    let mantissa = 0;
    let exponent = 0;
    for (; at < wordEnd; at++) {
      const digit = bytes[at]! - 0x30;
      if (digit < 0 || digit > 9) break;
      mantissa = mantissa * 10 + digit;
      digits++;
    }
    if (bytes[at] === 0x2e && at < wordEnd) {
      for (at++; at < wordEnd; at++) {
        const digit = bytes[at]! - 0x30;
        if (digit < 0 || digit > 9) break;
        mantissa = mantissa * 10 + digit;
        digits++;
        exponent--;
      }
    }
    if (digits === 0) return NaN;
    if (at < wordEnd || mantissa > Number.MAX_SAFE_INTEGER || exponent < -22) return this.rareNumber();
    const size = exponent === 0 ? mantissa : mantissa / exactPowers[-exponent]!;
    return isNegative ? -size : size;
  }

  /** The newest word as text, shortened for a message. */
  wordForMessage(): string {
    if (this.wordEnd === this.wordStart)
      return this.at >= this.bytes.length ? 'the end of the file' : 'the end of the line';
    const bytes = this.bytes.subarray(this.wordStart, Math.min(this.wordEnd, this.wordStart + 24));
    const shown = Array.from(bytes, (byte) => (byte > blank && byte < 127 ? String.fromCharCode(byte) : '?')).join('');
    return `"${shown}${this.wordEnd - this.wordStart > 24 ? '…' : ''}"`;
  }

  /** With an exponent, or with more digits than 53 bits hold. */
  private rareNumber(): number {
    if (this.wordEnd - this.wordStart > mostNumberBytes) return NaN;
    const word = String.fromCharCode(...this.bytes.subarray(this.wordStart, this.wordEnd));
    return /^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i.test(word) ? Number(word) : NaN;
  }
}
