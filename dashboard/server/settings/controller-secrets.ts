/*
 * The controllers' secrets, in a file of their own in the data folder that only the owner of the program may read (mode 0600): so the
 * store can be copied and shown without them. Opened by the composition root; asked for each command and each sign of life.
 * A file that cannot be read is set aside and told: then every controller must be paired again, and meanwhile is still watched.
 */
import { chmodSync, existsSync, readFileSync, renameSync } from 'node:fs';
import { join } from 'node:path';
import { z } from 'zod';
import { OWNER_ONLY, writeForOwner } from './owner-file.js';

export const SECRETS_FILE = 'controller-secrets.json';

const secretsSchema = z.record(z.string(), z.string().regex(/^[0-9a-f]{64}$/));

export interface ControllerSecrets {
  /** 64 hexadecimal digits; undefined: it must be paired again. */
  of(controllerId: string): string | undefined;
  /** On disk when this returns. Throws when the file cannot be written. */
  keep(controllerId: string, secret: string): void;
  forget(controllerId: string): void;
  /** What was wrong with the file at the start, in a whole sentence. */
  readonly problem: string | undefined;
}

export function openControllerSecrets(folder: string): ControllerSecrets {
  const file = join(folder, SECRETS_FILE);
  let secrets: Record<string, string> = {};
  let problem: string | undefined;
  if (existsSync(file)) {
    try {
      chmodSync(file, OWNER_ONLY);
      secrets = secretsSchema.parse(JSON.parse(readFileSync(file, 'utf8')));
    } catch (fault) {
      const aside = `${file}.damaged`;
      const why = fault instanceof z.ZodError ? 'it is not what Bathkeeper writes' : (fault as Error).message;
      problem =
        `The controllers' secrets cannot be read (${why}). The file was set aside as ${aside}. ` +
        'Every controller is still watched, but must be paired again before it takes a command or finds this dashboard.';
      renameSync(file, aside);
    }
  }
  const write = (): void => {
    writeForOwner(file, `${JSON.stringify(secrets)}\n`);
  };
  return {
    of: (controllerId) => (Object.hasOwn(secrets, controllerId) ? secrets[controllerId] : undefined),
    keep: (controllerId, secret) => {
      const before = secrets;
      secrets = { ...secrets, [controllerId]: secret };
      try {
        write();
      } catch (fault) {
        secrets = before;
        throw fault;
      }
    },
    forget: (controllerId) => {
      if (!Object.hasOwn(secrets, controllerId)) return;
      secrets = Object.fromEntries(Object.entries(secrets).filter(([id]) => id !== controllerId));
      write();
    },
    problem,
  };
}
