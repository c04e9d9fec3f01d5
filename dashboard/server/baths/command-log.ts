/* The commands that were sent to controllers, with what became of each. Kept by the bath book, in the store. */
import type { CommandKind, CommandView } from '@bathkeeper/shared-core/messages';
import type { Store } from '../store/store.js';

const COMMANDS_SHOWN_MS = 60_000;

interface CommandRow {
  command_id: number;
  controller_id: string;
  kind: CommandKind;
  asked_at_ms: number;
  state: CommandView['state'];
  words: string;
}

export interface CommandLog {
  add(controllerId: string, kind: CommandKind, nowMs: number, words: string): CommandView;
  answered(controllerId: string, commandId: number, isDone: boolean, words: string): void;
  timedOut(commandId: number): void;
  /** Of the last minute, the newest first. */
  recent(controllerId: string, nowMs: number): CommandView[];
}

export function openCommandLog({ database }: Store): CommandLog {
  // A controller takes no id twice, whoever sent it: an id that follows the time is new also in a new or restored store.
  const insertCommand = database.prepare(
    `INSERT INTO commands (command_id, controller_id, kind, asked_at_ms, state, words)
     VALUES (max(1 + coalesce((SELECT max(command_id) FROM commands), 0), CAST(? AS INTEGER)), ?, ?, CAST(? AS INTEGER), 'sent', ?)`,
  );
  const answerCommand = database.prepare(
    `UPDATE commands SET state = ?, words = ? WHERE command_id = CAST(? AS INTEGER) AND controller_id = ?`,
  );
  const timeOutCommand = database.prepare(
    `UPDATE commands SET state = 'no-answer', words = ? WHERE command_id = CAST(? AS INTEGER) AND state = 'sent'`,
  );
  // Nobody waits any longer for the answer to what was asked before this start.
  database
    .prepare(`UPDATE commands SET state = 'no-answer', words = ? WHERE state = 'sent'`)
    .run(
      'The dashboard was restarted before the bath answered. Look at the readings, and act at the bath if it matters.',
    );
  const recentCommands = database.prepare<[string, number], CommandRow>(
    'SELECT * FROM commands WHERE controller_id = ? AND asked_at_ms > ? ORDER BY command_id DESC LIMIT 10',
  );
  return {
    add: (controllerId, kind, nowMs, words) => {
      const commandId = Number(
        insertCommand.run(Math.floor(nowMs / 1000), controllerId, kind, nowMs, words).lastInsertRowid,
      );
      return { commandId, kind, askedAtMs: nowMs, state: 'sent', words };
    },
    answered: (controllerId, commandId, isDone, words) => {
      answerCommand.run(isDone ? 'done' : 'refused', words, commandId, controllerId);
    },
    timedOut: (commandId) => {
      timeOutCommand.run(
        'The bath did not answer. Nothing is known to have changed: look at the readings, and act at the bath if it matters.',
        commandId,
      );
    },
    recent: (controllerId, nowMs) =>
      recentCommands.all(controllerId, nowMs - COMMANDS_SHOWN_MS).map((row) => ({
        commandId: row.command_id,
        kind: row.kind,
        askedAtMs: row.asked_at_ms,
        state: row.state,
        words: row.words,
      })),
  };
}
