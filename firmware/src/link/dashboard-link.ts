/*
 * Keeps the session with the dashboard, sends the outbox and the live message, takes acknowledgements and commands. Beaten by the
 * keeper. Dialling blocks the whole board, so it dials only a configured address, only just after a sign of life, and
 * backs off hard when an attempt stalled while a run is energised. Nothing here can raise a current.
 *
 * Commands and signs of life are believed only with their proof, once, and in time; what is not is counted and told. Nothing of
 * a message without its proof is parsed.
 */
import { EventKind } from '@bathkeeper/shared-core/control';
import { PASSWORD_PROVED, SIGN_OF_LIFE_PROVED, topicOf } from '@bathkeeper/shared-core/messages';
import { KeptColumn, type KeptRow } from '../memory/kept-row.js';
import type { Board } from '../ports.js';
import type { Settings } from '../settings.js';
import { Answer, messageFields, type ReceivedCommand, receivedCommand, Refusal } from './messages.js';
import { mqttClient } from './mqtt-client.js';
import type { Outbox } from './outbox.js';
import { hexDigits, provedText, prover } from './proof.js';

/** Two signs of life, one every 5 s, and some slack. */
const SIGN_OF_LIFE_MS = 12000;
/** A proof costs two digests: one sign in so long is looked at. */
const SIGN_TRY_MS = 1000;
/** A ping should have been answered by then: nothing that may be lost is sent into the silence. */
const DOUBT_MS = 12000;
const ACKNOWLEDGE_MS = 10000;
const STALL_MS = 2000;
const RETRY_SECONDS_MAX = 60;
/** After an attempt that stalled while energised. */
const STALLED_RETRY_SECONDS = [60, 300, 900];
const COMMANDS_MAX = 4;
/** Refused messages are told at most this often, with their number: a flood of them must not fill the outbox. */
const REFUSALS_TOLD_MS = 60000;
const SECRET_DIGITS = 64;

export interface DashboardLink {
  /** To be answered or carried out, oldest first: the control loop takes them out. */
  readonly commands: ReceivedCommand[];
  /** Twice a second or so; `nowMs`: the board's uptime. */
  beat(nowMs: number, isEnergised: boolean): void;
  /** Sends the present, when somebody is there to read it. */
  publishLive(text: string): void;
  /** The dashboard's time, seconds since 1970, as its last sign of life told it; 0 while none was heard in this boot. */
  dashboardTimeSeconds(): number;
  /** Since its last sign of life, or since the boot; 0 for a controller that was never paired. */
  dashboardSilentSeconds(): number;
  close(): void;
}

/** `tell` adds an event of now: what was not believed. */
export function dashboardLink(
  board: Board,
  settings: Settings,
  outbox: Outbox,
  kept: KeptRow,
  tell: (kind: EventKind, code: number, a: number, b: number) => void,
): DashboardLink {
  const name = settings.controllerId;
  const isPaired = settings.secret.length === SECRET_DIGITS;
  const topics = topicOf(name, '');
  const row = kept.row;
  const prove = prover(settings.secret);
  const commands: ReceivedCommand[] = [];
  let signOfLifeMs = -SIGN_OF_LIFE_MS;
  let signTriedMs = -SIGN_TRY_MS;
  /** The newest time heard. It moves nothing: the board's own clock stays as it is, so that no interval runs early or late. */
  let newestSeconds = 0;
  let nextDialMs = 0;
  let wasOnline = false;
  let failures = 0;
  let stalls = 0;
  /** When the message in flight was sent; -ACKNOWLEDGE_MS: none is. */
  let sentMs = -ACKNOWLEDGE_MS;

  const sendOutbox = function (nowMs: number): void {
    if (nowMs - sentMs < ACKNOWLEDGE_MS || !outbox.isDue()) return;
    sentMs = nowMs;
    client.publish(topics + 'outbox', outbox.message(nowMs), true);
  };
  let refusals = 0;
  let refusal: Refusal = Refusal.none;
  let refusedId = 0;
  let refusalsToldMs = -REFUSALS_TOLD_MS;
  const refuse = function (why: Refusal, id: number): void {
    refusal = why;
    refusedId = id;
    refusals++;
  };
  const takeCommand = function (message: string): void {
    // One that finds no place is not taken: it may come again.
    if (commands.length >= COMMANDS_MAX) return;
    const text = provedText(message, topics + 'command\n', prove);
    if (!text || !isPaired) {
      refuse(Refusal.forged, 0);
      return;
    }
    const command = receivedCommand(text, row[KeptColumn.incarnation]!, row[KeptColumn.boot]!, board.uptimeMs());
    if (!command) return;
    if (command.counter <= row[KeptColumn.commandCounter]!) {
      refuse(Refusal.replayed, command.id);
      return;
    }
    row[KeptColumn.commandCounter] = command.counter;
    if (command.answer === Answer.expired) refuse(Refusal.outOfDate, command.id);
    commands.push(command);
    // Last: a memory that does not answer throws, and the command is worth more than its place after a restart.
    kept.keep();
  };
  const hearSign = function (message: string): void {
    // It is broadcast: one that does not name this controller is for another, and costs nothing here.
    if (!isPaired || message.indexOf('"d":"' + name + '"') < 0) return;
    // A flood of forged ones must not take the control step its time: the next is heard in a second.
    const nowMs = board.uptimeMs();
    if (nowMs - signTriedMs < SIGN_TRY_MS) return;
    signTriedMs = nowMs;
    const text = provedText(message, SIGN_OF_LIFE_PROVED, prove);
    const fields = text ? messageFields(text) : undefined;
    const seconds = fields && fields['d'] === name ? fields['t'] : 0;
    if (typeof seconds !== 'number' || !seconds) refuse(Refusal.forged, 0);
    else if (seconds > newestSeconds) {
      newestSeconds = seconds;
      signOfLifeMs = nowMs;
    } else if (seconds < newestSeconds) refuse(Refusal.replayed, 0);
    // The same again: it came on two ways.
  };
  const client = mqttClient(
    board,
    settings,
    hexDigits(prove(PASSWORD_PROVED)),
    topics,
    function (topic: string, text: string): void {
      try {
        if (topic === topics + 'command') {
          takeCommand(text);
          return;
        }
        const fields = messageFields(text);
        if (fields && outbox.acknowledge(fields['i'], fields['r'], fields['e'])) {
          sentMs = -ACKNOWLEDGE_MS;
          sendOutbox(board.uptimeMs());
        }
      } catch (why) {
        // What was taken is taken; only its place in the memory is missing.
        print('Memory silent: ' + why);
      }
    },
  );
  board.joinNetwork(settings.networkName, settings.networkPassword, settings.signOfLifePort, hearSign);

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
    beat: function (nowMs: number, isEnergised: boolean): void {
      if (refusals && nowMs - refusalsToldMs >= REFUSALS_TOLD_MS) {
        tell(EventKind.commandRefused, refusal, refusedId, refusals);
        refusals = 0;
        refusalsToldMs = nowMs;
      }
      client.beat(nowMs);
      if (client.isOnline) {
        if (!wasOnline) sentMs = -ACKNOWLEDGE_MS;
        wasOnline = true;
        failures = stalls = 0;
        sendOutbox(nowMs);
      } else if (wasOnline) {
        wasOnline = false;
        nextDialMs = nowMs + 1000;
      } else if (
        !client.connection &&
        nowMs >= nextDialMs &&
        (!board.dialingBlocks || nowMs - signOfLifeMs < SIGN_OF_LIFE_MS)
      ) {
        dial(nowMs, isEnergised);
      }
    },
    publishLive: function (text: string): void {
      if (client.isOnline && board.uptimeMs() - client.heardMs < DOUBT_MS) {
        client.publish(topics + 'live', text, false);
      }
    },
    dashboardTimeSeconds: function (): number {
      return newestSeconds && newestSeconds + (board.uptimeMs() - signOfLifeMs) / 1000;
    },
    dashboardSilentSeconds: function (): number {
      return isPaired ? Math.floor((board.uptimeMs() - Math.max(signOfLifeMs, 0)) / 1000) : 0;
    },
    close: client.close,
  };
}
