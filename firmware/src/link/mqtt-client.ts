/*
 * One MQTT 3.1.1 session at a time over one connection: connect with a last will, subscribe, publish, ping, and give up when
 * nothing was heard for too long. Owned by the dashboard link, which decides when to dial. Keeps nothing: what must arrive
 * waits in the outbox until the dashboard itself acknowledges it.
 */
import type { Board, Connection } from '../ports.js';
import type { Settings } from '../settings.js';
import {
  connectPacket,
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

export interface MqttClient {
  /** A session stands. */
  isOnline: boolean;
  /** A session, or an attempt at one. */
  connection: Connection | undefined;
  /** When the other side was last heard. */
  heardMs: number;
  /** BLOCKS. Throws when refused. */
  dial(): void;
  /** QoS 1 for what matters, else QoS 0. */
  publish(topic: string, text: string, isImportant: boolean): void;
  /** Pings, and closes what has gone silent. */
  beat(nowMs: number): void;
  close(): void;
}

/** `topics` is what the names of all topics begin with; `taken` is told each message on the two subscribed ones. */
export function mqttClient(
  board: Board,
  settings: Settings,
  password: string,
  topics: string,
  taken: (topic: string, text: string) => void,
): MqttClient {
  const name = settings.controllerId;
  const statusTopic = topics + 'status';
  let received = '';
  let pingedMs = 0;
  let packetId = 0;

  const send = function (bytes: string): void {
    if (client.connection) client.connection.write(bytes);
  };
  const nextId = function (): number {
    packetId = (packetId % 65535) + 1;
    return packetId;
  };
  const handle = function (whole: string): void {
    const type = whole.charCodeAt(0) & 0xf0;
    if (type === PacketType.connectAnswer) {
      if (whole.charCodeAt(3)) {
        client.close();
        return;
      }
      client.isOnline = true;
      send(subscribePacket(nextId(), topics + 'ack', topics + 'command'));
      send(publishPacket(statusTopic, '{"v":1,"o":1}', nextId(), true));
    } else if (type === PacketType.publish) {
      const message = publication(whole);
      if (message.idBytes) send(publishAnswerPacket(message.idBytes));
      taken(message.topic, message.text);
    }
  };

  const client: MqttClient = {
    isOnline: false,
    connection: undefined,
    heardMs: 0,
    dial: function (): void {
      const dialled = board.connect(settings.dashboardAddress, settings.dashboardPort, {
        opened: function (): void {
          send(connectPacket(name, password, statusTopic, '{"v":1,"o":0}', KEEP_ALIVE_SECONDS));
        },
        received: function (bytes: string): void {
          // An earlier connection may still have something to say.
          if (client.connection !== dialled) return;
          client.heardMs = board.uptimeMs();
          received += bytes;
          while (client.connection) {
            const length = packetBytes(received);
            // (Short packets may come many at once.)
            if (length < 0) client.close();
            if (length <= 0 || received.length < length) return;
            const whole = received.substring(0, length);
            received = received.substring(length);
            handle(whole);
          }
        },
        closed: function (): void {
          if (client.connection === dialled) client.close();
        },
      });
      client.connection = dialled;
      client.heardMs = pingedMs = board.uptimeMs();
    },
    publish: function (topic: string, text: string, isImportant: boolean): void {
      send(publishPacket(topic, text, isImportant ? nextId() : 0, false));
    },
    beat: function (nowMs: number): void {
      if (nowMs - client.heardMs >= SILENCE_MS) client.close();
      if (client.isOnline && nowMs - pingedMs >= PING_MS) {
        pingedMs = nowMs;
        send(pingPacket());
      }
    },
    close: function (): void {
      const closing = client.connection;
      client.connection = undefined;
      client.isOnline = false;
      received = '';
      if (closing) closing.end();
    },
  };
  return client;
}
