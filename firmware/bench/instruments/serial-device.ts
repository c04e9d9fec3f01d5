/* What hangs on the board's serial line, as the interpreter's Serial2 needs it. No behaviour. */
export interface SerialDevice {
  /** Bytes from the board. */
  take(text: string, nowSeconds: number): void;
  /** Bytes for the board; set by whoever listens. */
  onAnswer: (text: string) => void;
}
