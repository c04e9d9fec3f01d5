/*
 * How the virtual bath's sockets reach the other side, whatever that is: a stand-in in the same process, the
 * dashboard's broker in lockstep, or a real network. Called by the board's `net` module.
 */

export interface BathConnection {
  write(bytes: Uint8Array): void;
  close(): void;
  onBytes(receive: (bytes: Uint8Array) => void): void;
  onClose(closed: () => void): void;
}

export interface BathNetwork {
  /** Asked at the moment the program dials; the answer must be there at once. */
  connect(address: string, port: number): BathConnection | 'refused' | 'unanswered';
}

/** Nobody is there. */
export const noNetwork: BathNetwork = { connect: () => 'refused' };
