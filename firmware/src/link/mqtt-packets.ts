/*
 * The few MQTT 3.1.1 packets (OASIS standard, 29 October 2014) that a controller needs, as byte strings: every character is one
 * byte. Pure: built and taken apart here, sent by mqtt-client.ts. Never trusts a length that came from outside.
 */

/** First bytes of packets: type in the upper half, flags in the lower (section 2.2). */
export const PacketType = {
  connectAnswer: 0x20,
  publish: 0x30,
  subscribeAnswer: 0x90,
  pingAnswer: 0xd0,
} as const;

/** Nothing longer is taken from the dashboard: the longest that it may send, a command with its proof and topic, has less than 700. A few of them fit the memory. */
export const PACKET_BYTES_MAX = 1024;
/** Second byte of the remaining length from which on a packet is longer than that. */
const UPPER_LENGTH_MAX = PACKET_BYTES_MAX / 128;
/** Clean session, will flag, will QoS 1, will retained, password, user name (section 3.1.2.3). */
const CONNECT_FLAGS = 0xee;

function twoBytes(value: number): string {
  return String.fromCharCode(value >> 8, value & 255);
}

function field(text: string): string {
  return twoBytes(text.length) + text;
}

/** A packet with its remaining length, up to 16383 (section 2.2.3). Example: PINGREQ is `packet(0xc0, '')`. */
export function packet(first: number, body: string): string {
  const length = body.length;
  return (
    (length > 127
      ? String.fromCharCode(first, (length & 127) | 128, length >> 7)
      : String.fromCharCode(first, length)) + body
  );
}

/** CONNECT with a retained last will (section 3.1). The client's name is also its user name. */
export function connectPacket(
  name: string,
  password: string,
  willTopic: string,
  will: string,
  keepAliveSeconds: number,
): string {
  return packet(
    0x10,
    field('MQTT') +
      String.fromCharCode(4, CONNECT_FLAGS) +
      twoBytes(keepAliveSeconds) +
      field(name) +
      field(willTopic) +
      field(will) +
      field(name) +
      field(password),
  );
}

/** SUBSCRIBE to two topics, QoS 1 (section 3.8). */
export function subscribePacket(id: number, topic: string, otherTopic: string): string {
  return packet(0x82, twoBytes(id) + field(topic) + '\x01' + field(otherTopic) + '\x01');
}

/** PUBLISH (section 3.3); QoS 1 when `id` is not 0. */
export function publishPacket(topic: string, text: string, id: number, isRetained: boolean): string {
  return packet(
    PacketType.publish | (id ? 2 : 0) | (isRetained ? 1 : 0),
    field(topic) + (id ? twoBytes(id) : '') + text,
  );
}

/** PUBACK (section 3.4) of the id as it came. */
export function publishAnswerPacket(idBytes: string): string {
  return packet(0x40, idBytes);
}

/** PINGREQ (section 3.12). */
export function pingPacket(): string {
  return packet(0xc0, '');
}

/** Bytes of the first packet in what was received: 0 while its length is not known yet, -1 when nobody may send such a one. */
export function packetBytes(received: string): number {
  // What is not there yet is NaN and takes neither branch.
  const lower = received.charCodeAt(1);
  const upper = received.charCodeAt(2);
  if (lower < 128) return lower + 2;
  if (upper < UPPER_LENGTH_MAX) return lower - 128 + upper * 128 + 3;
  return upper >= 0 ? -1 : 0;
}

/** A PUBLISH taken apart; its id as two bytes, none at QoS 0. */
export interface Publication {
  readonly topic: string;
  readonly idBytes: string;
  readonly text: string;
}

/** Takes one whole PUBLISH packet apart. What is not there is an empty text. */
export function publication(whole: string): Publication {
  let at = 2;
  while (whole.charCodeAt(at - 1) > 127) at++;
  const topicEnd = at + 2 + whole.charCodeAt(at) * 256 + whole.charCodeAt(at + 1);
  const textAt = whole.charCodeAt(0) & 6 ? topicEnd + 2 : topicEnd;
  return {
    topic: whole.substring(at + 2, topicEnd),
    idBytes: whole.substring(topicEnd, textAt),
    text: whole.substring(textAt),
  };
}
