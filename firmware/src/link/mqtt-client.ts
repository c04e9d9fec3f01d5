/*
 * One MQTT 3.1.1 session at a time over one connection: connect with a last will, subscribe, publish, ping, and give up when
 * nothing was heard for too long. Owned by the dashboard link, which decides when to dial. Keeps nothing: what must arrive
 * waits in the outbox until the dashboard itself acknowledges it.
 */
import { topicOf } from '@bathkeeper/shared-core/messages';
import type { Board, Connection } from '../ports.js';
import type { Settings } from '../settings.js';
import {
  connectPacket,
  PACKET_BYTES_MAX,
  packetBytes,
  PacketType,
  pingPacket,
  publication,
  publishAnswerPacket,
  publishPacket,
  subscribePacket,
} from './mqtt-packets.js';

const KEEP_ALIVE_SECONDS = 15;
const PING_MS = 10000;
/** Nothing heard, not even an answer to a ping: the connection is dead, whatever the socket says. */
const SILENCE_MS = 25000;
/** A ping should have been answered by now: nothing that may be lost is sent into the silence. */
const DOUBT_MS = 12000;

export interface MqttClient {
  /** A session stands. */
  isOnline(): boolean;
  /** Neither a session nor an attempt. */
  isClosed(): boolean;
  /** Was something heard lately? */
  isLively(nowMs: number): boolean;
  /** BLOCKS. False when refused. A true answer says only that bytes can be sent. */
  dial(): boolean;
  /** QoS 1 for what matters, else QoS 0. */
  publish(topic: string, text: string, isImportant: boolean): void;
  /** Pings, and closes what has gone silent. */
  beat(nowMs: number): void;
  close(): void;
}

/** `taken` is told each message on the two subscribed topics. */
export function mqttClient(board: Board, settings: Settings, taken: (topic: string, text: string) => void): MqttClient {
  const name = settings.controllerId;
  const statusTopic = topicOf(name, 'status');
  let connection: Connection | undefined;
  let isOnline = false;
  /** Events of an earlier connection may still come: they carry an older number. */
  let dialNumber = 0;
  let received = '';
  let heardMs = 0;
  let pingedMs = 0;
  let packetId = 0;

  const send = function (bytes: string): void {
    if (connection) connection.write(bytes);
  };
  const close = function (): void {
    const closing = connection;
    connection = undefined;
    isOnline = false;
    dialNumber++;
    received = '';
    if (closing) closing.end();
  };
  const nextId = function (): number {
    packetId = (packetId % 65535) + 1;
    return packetId;
  };
  const handle = function (whole: string): void {
    const type = whole.charCodeAt(0) & 0xf0;
    if (type === PacketType.connectAnswer) {
      if (whole.charCodeAt(3) !== 0) {
        close();
        return;
      }
      isOnline = true;
      send(subscribePacket(nextId(), topicOf(name, 'ack'), topicOf(name, 'command')));
      send(publishPacket(statusTopic, '{"v":1,"o":1}', nextId(), true));
    } else if (type === PacketType.publish) {
      const message = publication(whole);
      if (message.id) send(publishAnswerPacket(message.id));
      taken(message.topic, message.text);
    }
  };
  const take = function (bytes: string): void {
    heardMs = board.uptimeMs();
    received += bytes;
    while (connection) {
      const length = packetBytes(received);
      if (length < 0 || received.length > PACKET_BYTES_MAX) close();
      if (length <= 0 || received.length < length) return;
      const whole = received.substring(0, length);
      received = received.substring(length);
      handle(whole);
    }
  };

  return {
    isOnline: function (): boolean {
      return isOnline;
    },
    isClosed: function (): boolean {
      return !connection;
    },
    isLively: function (nowMs: number): boolean {
      return isOnline && nowMs - heardMs < DOUBT_MS;
    },
    dial: function (): boolean {
      close();
      const dial = dialNumber;
      try {
        connection = board.connect(settings.dashboardAddress, settings.dashboardPort, {
          opened: function (): void {
            if (dial === dialNumber) {
              send(connectPacket(name, settings.linkPassword, statusTopic, '{"v":1,"o":0}', KEEP_ALIVE_SECONDS));
            }
          },
          received: function (bytes: string): void {
            if (dial === dialNumber) take(bytes);
          },
          closed: function (): void {
            if (dial === dialNumber) close();
          },
        });
      } catch (_) {
        // Refused or no way there: an operating fault; the caller backs off.
        return false;
      }
      heardMs = pingedMs = board.uptimeMs();
      return true;
    },
    publish: function (topic: string, text: string, isImportant: boolean): void {
      send(publishPacket(topic, text, isImportant ? nextId() : 0, false));
    },
    beat: function (nowMs: number): void {
      if (!connection) return;
      if (nowMs - heardMs >= SILENCE_MS) close();
      else if (isOnline && nowMs - pingedMs >= PING_MS) {
        pingedMs = nowMs;
        send(pingPacket());
      }
    },
    close: close,
  };
}
