/*
 * How the leave-alone check asks this computer: small programs of the system and files of the kernel, each with a time-out. Handed to
 * the files that know Linux, Windows and macOS. It only reads: nothing here changes a setting.
 */
import { execFile } from 'node:child_process';
import { readdir, readFile } from 'node:fs/promises';
import type { LeaveAloneItem } from '@bathkeeper/shared-core/messages';

const ANSWER_MS = 5000;

export interface ComputerQuestions {
  readonly platform: NodeJS.Platform;
  /** What it printed, whatever it returned with; undefined: it is not there, or did not answer. */
  run(program: string, args: readonly string[]): Promise<string | undefined>;
  /** Undefined: there is no such file, or it may not be read. */
  text(file: string): Promise<string | undefined>;
  /** Names in a folder; empty: there is none. */
  names(folder: string): Promise<readonly string[]>;
}

/** One answer of the leave-alone check, without its name. */
export type Evidence = Pick<LeaveAloneItem, 'state' | 'words'>;

export interface ComputerEvidence {
  readonly sleep: Evidence;
  readonly automaticUpdate: Evidence;
  readonly startsAfterPowerCut: Evidence;
  readonly clock: Evidence;
}

export const good = (words: string): Evidence => ({ state: 'good', words });
export const missing = (words: string): Evidence => ({ state: 'missing', words });
export const unknown = (words: string): Evidence => ({ state: 'unknown', words });

export const thisComputer: ComputerQuestions = {
  platform: process.platform,
  run: (program, args) =>
    new Promise((answer) => {
      // Answers are compared with English words.
      const env = { ...process.env, LC_ALL: 'C', LANG: 'C' };
      execFile(program, args, { timeout: ANSWER_MS, env, windowsHide: true, maxBuffer: 1 << 20 }, (fault, stdout) => {
        // A number: it ran, and `systemctl is-enabled` for one says "masked" with a code that is not 0.
        const ran = fault === null || typeof fault.code === 'number';
        answer(ran ? stdout : undefined);
      });
    }),
  text: (file) => readFile(file, 'utf8').catch(() => undefined),
  names: (folder) => readdir(folder).catch(() => []),
};
