/* The packets against an independent implementation of MQTT 3.1.1 (the mqtt-packet library), both ways. */
import fc from 'fast-check';
import mqttPacket, { type Packet } from 'mqtt-packet';
import { describe, expect, it } from 'vitest';
import { RECIPE_COLUMNS, topicOf } from '@bathkeeper/shared-core/messages';
import {
  connectPacket,
  PACKET_BYTES_MAX,
  packetBytes,
  pingPacket,
  publication,
  publishAnswerPacket,
  publishPacket,
  subscribePacket,
} from '../../../firmware/src/link/mqtt-packets.js';

/** What the library reads in our bytes. */
function understood(text: string): Packet[] {
  const packets: Packet[] = [];
  const parser = mqttPacket.parser({ protocolVersion: 4 });
  parser.on('packet', (packet) => packets.push(packet));
  parser.on('error', (error) => {
    throw error;
  });
  parser.parse(Buffer.from(text, 'latin1'));
  return packets;
}

const ascii = (maxLength: number) => fc.string({ unit: 'binary-ascii', minLength: 1, maxLength });

describe('what we send', () => {
  it('CONNECT carries name, password, will, clean session and keep-alive', () => {
    expect(understood(connectPacket('north-bench', 'pass word', 'a/status', '{"v":1,"o":0}', 15))).toMatchObject([
      {
        cmd: 'connect',
        protocolId: 'MQTT',
        protocolVersion: 4,
        clean: true,
        clientId: 'north-bench',
        username: 'north-bench',
        password: Buffer.from('pass word'),
        keepalive: 15,
        will: { topic: 'a/status', payload: Buffer.from('{"v":1,"o":0}'), qos: 1, retain: true },
      },
    ]);
  });

  it('SUBSCRIBE asks for both topics at QoS 1', () => {
    expect(understood(subscribePacket(258, 'a/ack', 'a/command'))).toMatchObject([
      {
        cmd: 'subscribe',
        messageId: 258,
        subscriptions: [
          { topic: 'a/ack', qos: 1 },
          { topic: 'a/command', qos: 1 },
        ],
      },
    ]);
  });

  it('PUBLISH of any length, retained or not, with an id or without', () => {
    fc.assert(
      fc.property(
        ascii(60),
        fc.string({ unit: 'binary-ascii', maxLength: 16000 }),
        fc.integer({ min: 0, max: 65535 }),
        fc.boolean(),
        (topic, text, id, isRetained) => {
          expect(understood(publishPacket(topic, text, id, isRetained))).toMatchObject([
            { cmd: 'publish', topic, payload: Buffer.from(text), qos: id ? 1 : 0, retain: isRetained, dup: false },
          ]);
        },
      ),
    );
  });

  it('PUBACK and PINGREQ', () => {
    expect(understood(publishAnswerPacket('\xff\xff') + pingPacket())).toMatchObject([
      { cmd: 'puback', messageId: 65535 },
      { cmd: 'pingreq' },
    ]);
  });
});

describe('what we receive', () => {
  const publishes = fc.array(
    fc.record({
      topic: ascii(40),
      text: fc.string({ unit: 'binary-ascii', maxLength: 400 }),
      id: fc.integer({ min: 0, max: 65535 }),
    }),
    { minLength: 1, maxLength: 6 },
  );

  it('is taken apart the same however it is cut into chunks', () => {
    fc.assert(
      fc.property(publishes, fc.array(fc.integer({ min: 1, max: 50 }), { minLength: 1 }), (messages, cuts) => {
        const stream = messages
          .map(({ topic, text, id }) =>
            mqttPacket
              .generate(
                id
                  ? { cmd: 'publish', topic, payload: text, qos: 1, messageId: id, dup: false, retain: false }
                  : { cmd: 'publish', topic, payload: text, qos: 0, dup: false, retain: false },
              )
              .toString('latin1'),
          )
          .join('');
        const seen: unknown[] = [];
        let buffer = '';
        for (let at = 0, turn = 0; at < stream.length; turn++) {
          const size = cuts[turn % cuts.length]!;
          buffer += stream.substring(at, at + size);
          at += size;
          for (let length = packetBytes(buffer); length > 0 && buffer.length >= length; length = packetBytes(buffer)) {
            seen.push(publication(buffer.substring(0, length)));
            buffer = buffer.substring(length);
          }
        }
        expect(buffer).toBe('');
        const idBytes = (id: number) => (id ? String.fromCharCode(id >> 8, id & 255) : '');
        expect(seen).toEqual(messages.map(({ topic, text, id }) => ({ topic, text, idBytes: idBytes(id) })));
      }),
    );
  });

  it('a length that nobody may send is refused before it is waited for', () => {
    expect(packetBytes('\x30\xff\xff\xff\xff')).toBe(-1);
    expect(packetBytes('\x30\xff\xff\xff\x7f')).toBe(-1);
    expect(packetBytes('\x30\xff')).toBe(0);
    expect(packetBytes('\x30\xff\x08')).toBe(-1);
    expect(packetBytes('\x30\xff\x07')).toBe(1026);
    expect(packetBytes('\x30')).toBe(0);
    expect(packetBytes('')).toBe(0);
    // 1020 and two bytes of length and one of type still fit.
    expect(packetBytes('\x30\xfc\x07')).toBeLessThanOrEqual(PACKET_BYTES_MAX);
    expect(packetBytes('\x30\x80\x08')).toBe(-1);
  });

  it('the longest messages that the dashboard may send are within it: a recipe with its proof, an acknowledgement', () => {
    // The name has at most 64 characters, the text behind the 64 digits of a proof at most 512: more is refused by the link itself.
    const topics = topicOf('n'.repeat(64), '');
    for (const [topic, text] of [
      [topics + 'command', 'f'.repeat(64) + 'x'.repeat(512)],
      [topics + 'ack', JSON.stringify({ v: 1, i: 4294967295, r: 4294967295, e: 4294967295 })],
    ] as const) {
      expect(packetBytes(publishPacket(topic, text, 65535, false))).toBeLessThanOrEqual(PACKET_BYTES_MAX);
    }
    const row = new Array<number>(RECIPE_COLUMNS).fill(-1234567.891);
    const recipe = { v: 1, d: 2147483647, n: 140737488355327, i: 4294967295, b: 32767, x: 4294967295, k: 4, g: row };
    expect(JSON.stringify(recipe).length).toBeLessThanOrEqual(512);
  });

  it('rubbish is taken apart without an exception', () => {
    fc.assert(
      fc.property(fc.uint8Array({ minLength: 2, maxLength: 40 }), (bytes) => {
        const text = Buffer.from(bytes).toString('latin1');
        const taken = publication(text);
        expect(taken.topic.length + taken.text.length).toBeLessThanOrEqual(2 * text.length);
      }),
    );
  });
});
