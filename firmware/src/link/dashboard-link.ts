/*
 * Keeps the session with the dashboard, sends the outbox and the live message, takes acknowledgements and commands. Beaten by the
 * keeper. Dialling blocks the whole board, so it dials only a configured address, only just after a sign of life, and
 * backs off hard when an attempt stalled while a run is energised. Nothing here can raise a current.
 */
import { topicOf } from '@bathkeeper/shared-core/messages';
import { KeptColumn, type KeptRow } from '../memory/kept-row.js';
import type { Board } from '../ports.js';
import type { Settings } from '../settings.js';
import { messageFields, type ReceivedCommand, receivedCommand } from './messages.js';
import { mqttClient } from './mqtt-client.js';
import type { Outbox } from './outbox.js';

/** Two signs of life, one every 5 s, and some slack. */
const SIGN_OF_LIFE_MS = 12000;
/** A ping should have been answered by then: nothing that may be lost is sent into the silence. */
const DOUBT_MS = 12000;
const ACKNOWLEDGE_MS = 10000;
const STALL_MS = 2000;
const RETRY_SECONDS_MAX = 60;
/** After an attempt that stalled while energised. */
const STALLED_RETRY_SECONDS = [60, 300, 900];
/** Ids of commands that were taken; the dashboard may send one again. */
const IDS_KEPT = 8;
const COMMANDS_MAX = 4;

export interface DashboardLink {
  /** To be answered or carried out, oldest first: the control loop takes them out. */
  readonly commands: ReceivedCommand[];
  /** Twice a second or so. */
  beat(isEnergised: boolean): void;
  /** Sends the present, when somebody is there to read it. */
  publishLive(text: string): void;
  close(): void;
}

export function dashboardLink(board: Board, settings: Settings, outbox: Outbox, kept: KeptRow): DashboardLink {
  const topics = topicOf(settings.controllerId, '');
  const commands: ReceivedCommand[] = [];
  const knownIds: number[] = [];
  let signOfLifeMs = -SIGN_OF_LIFE_MS;
  let nextDialMs = 0;
  let wasOnline = false;
  let failures = 0;
  let stalls = 0;
  /** When the message in flight was sent; -ACKNOWLEDGE_MS: none is. */
  let sentMs = -ACKNOWLEDGE_MS;

  const sendOutbox = function (): void {
    const nowMs = board.uptimeMs();
    if (nowMs - sentMs < ACKNOWLEDGE_MS || !outbox.isDue()) return;
    sentMs = nowMs;
    client.publish(topics + 'outbox', outbox.message(nowMs), true);
  };
  const client = mqttClient(board, settings, topics, function (topic: string, text: string): void {
    if (topic === topics + 'command') {
      const command = receivedCommand(text, kept.row[KeptColumn.boot]!, board.uptimeMs());
      if (command && knownIds.indexOf(command.id) < 0 && commands.length < COMMANDS_MAX) {
        commands.push(command);
        knownIds.push(command.id);
        if (knownIds.length > IDS_KEPT) knownIds.shift();
      }
      return;
    }
    const fields = messageFields(text);
    if (fields && outbox.acknowledge(fields['i'], fields['r'], fields['e'])) {
      sentMs = -ACKNOWLEDGE_MS;
      sendOutbox();
    }
  });
  board.joinNetwork(
    settings.networkName,
    settings.networkPassword,
    settings.signOfLifePort,
    function (text: string): void {
      const fields = messageFields(text);
      if (fields && typeof fields['t'] === 'number') signOfLifeMs = board.uptimeMs();
    },
  );

  const dial = function (startedMs: number, isEnergised: boolean): void {
    try {
      client.dial();
    } catch (_) {
      // Refused, or no way there: an operating fault. It is tried again, ever more rarely.
    }
    const endedMs = board.uptimeMs();
    let retrySeconds = Math.min(1 << failures, RETRY_SECONDS_MAX);
    if (failures < 6) failures++;
    if (isEnergised && endedMs - startedMs > STALL_MS) {
      retrySeconds = STALLED_RETRY_SECONDS[stalls]!;
      if (stalls < 2) stalls++;
    }
    nextDialMs = endedMs + retrySeconds * 1000;
  };

  return {
    commands: commands,
    beat: function (isEnergised: boolean): void {
      const nowMs = board.uptimeMs();
      client.beat(nowMs);
      if (client.isOnline) {
        if (!wasOnline) sentMs = -ACKNOWLEDGE_MS;
        wasOnline = true;
        failures = stalls = 0;
        sendOutbox();
      } else if (wasOnline) {
        wasOnline = false;
        nextDialMs = nowMs + 1000;
      } else if (!client.connection && nowMs >= nextDialMs && nowMs - signOfLifeMs < SIGN_OF_LIFE_MS) {
        dial(nowMs, isEnergised);
      }
    },
    publishLive: function (text: string): void {
      if (client.isOnline && board.uptimeMs() - client.heardMs < DOUBT_MS) {
        client.publish(topics + 'live', text, false);
      }
    },
    close: client.close,
  };
}
