/*
 * Refused messages as alarms: what the dashboard did not take (one alarm, not one each), and what a controller did not believe. Told by ingest and
 * events through the watchman; each is over after a time without another.
 */
import type { AlarmList } from './alarm-list.js';

const MESSAGES_QUIET_MS = 60_000;
const COMMANDS_QUIET_MS = 10 * 60_000;

export interface Refusals {
  /** The dashboard refused a message; `controllerId` as it called itself. */
  message(controllerId: string, why: string, nowMs: number): void;
  /** A controller did not believe so many messages; `code`: why not the last one. */
  command(controllerId: string, code: number, count: number, takenAtMs: number, nowMs: number): void;
  /** Once a second for each controller. */
  endCommands(controllerId: string, nowMs: number): void;
  /** Once a second, after all of them. */
  endMessages(nowMs: number): void;
}

/** What the controller says of messages that it did not believe: why the last one was not, and how many. */
function refusedWords(code: number, count: number): string {
  const messages = count === 1 ? 'a message' : `${String(count)} messages`;
  switch (code) {
    case 1:
      return `${messages} refused: not made with the secret of this controller`;
    case 2:
      return `${messages} refused: seen before, or older than one that was taken. If this computer's clock was set back, that is why`;
    case 3:
      return `${messages} refused: meant for an earlier time or another start of the controller`;
    default:
      return `${messages} refused`;
  }
}

export function openRefusals(options: {
  alarms: Pick<AlarmList, 'raise' | 'returnToNormal' | 'isStanding'>;
  isPaired: (controllerId: string) => boolean;
}): Refusals {
  const { alarms } = options;
  /** When the controller last told of a message that it did not believe; what stood before this start counts from its first tick. */
  const commandsAtMs = new Map<string, number>();
  let hasTicked = false;
  let messagesUntilMs = -1;
  let messagesOf: string | undefined;
  return {
    message: (controllerId, why, nowMs) => {
      messagesUntilMs = nowMs + MESSAGES_QUIET_MS;
      messagesOf ??= options.isPaired(controllerId) ? controllerId : '';
      const detail = `${controllerId}: ${why}`;
      alarms.raise({ controllerId: messagesOf, name: 'message-refused', causeAtMs: nowMs, detail }, nowMs);
    },
    command: (controllerId, code, count, takenAtMs, nowMs) => {
      commandsAtMs.set(controllerId, nowMs);
      const detail = refusedWords(code, count);
      alarms.raise({ controllerId, name: 'command-refused', causeAtMs: takenAtMs, detail }, nowMs);
    },
    endCommands: (controllerId, nowMs) => {
      if (!hasTicked && alarms.isStanding(controllerId, 'command-refused')) commandsAtMs.set(controllerId, nowMs);
      if (nowMs - (commandsAtMs.get(controllerId) ?? nowMs) <= COMMANDS_QUIET_MS) return;
      alarms.returnToNormal(controllerId, 'command-refused', nowMs);
      commandsAtMs.delete(controllerId);
    },
    endMessages: (nowMs) => {
      hasTicked = true;
      if (messagesOf === undefined || nowMs <= messagesUntilMs) return;
      alarms.returnToNormal(messagesOf, 'message-refused', nowMs);
      messagesOf = undefined;
    },
  };
}
