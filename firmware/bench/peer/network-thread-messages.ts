/* What a virtual bath and the thread that owns its real sockets say to each other. No behaviour. */

/** Stored in the shared word that the bath waits on; 0 is "no answer yet". */
export const ConnectAnswer = { connected: 1, refused: 2, unanswered: 3 } as const;

export type ToNetworkThread =
  | {
      kind: 'connect';
      id: number;
      address: string;
      port: number;
      answer: Int32Array<SharedArrayBuffer>;
      timeoutMilliseconds: number;
    }
  | { kind: 'write'; id: number; bytes: Uint8Array }
  | { kind: 'close'; id: number };

export type FromNetworkThread = { kind: 'bytes'; id: number; bytes: Uint8Array } | { kind: 'closed'; id: number };
