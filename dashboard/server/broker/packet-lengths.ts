/*
 * Reads the lengths of MQTT packets as they pass, so that the broker can refuse a packet that announces too much before any of
 * it is kept. Called with every chunk of a connection; it changes no byte and understands nothing else of the protocol.
 */

/** MQTT 3.1.1, section 2.2.3: the remaining length is one to four bytes, seven bits each, the lowest first. */
const LENGTH_BYTES_MAX = 4;

/**
 * A reader for one connection: answers the largest length that a packet beginning in this chunk announces, 0 when none begins,
 * and Infinity for a length that no packet can have.
 *
 * Example: `0x30 0x80 0x02`, in any chunks, announces 256.
 */
export function largestPacketAhead(): (bytes: Uint8Array) => number {
  let bytesLeft = 0;
  let lengthBytes = -1;
  let length = 0;
  return (bytes) => {
    let largest = 0;
    let at = 0;
    while (at < bytes.length) {
      if (bytesLeft > 0) {
        const skipped = Math.min(bytesLeft, bytes.length - at);
        bytesLeft -= skipped;
        at += skipped;
      } else if (lengthBytes < 0) {
        // The first byte: kind of packet and flags.
        lengthBytes = 0;
        length = 0;
        at++;
      } else {
        const byte = bytes[at++]!;
        length += (byte & 0x7f) * 128 ** lengthBytes;
        lengthBytes++;
        if ((byte & 0x80) === 0) {
          largest = Math.max(largest, length);
          bytesLeft = length;
          lengthBytes = -1;
        } else if (lengthBytes === LENGTH_BYTES_MAX) return Infinity;
      }
    }
    return largest;
  };
}
