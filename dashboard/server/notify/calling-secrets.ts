/*
 * What calling must not tell: addresses of webhooks and their headers, push subscriptions, the mail password, the keys of Web Push and of
 * the tokens in links. In a file of its own in the data folder (mode 0600), so that the store can be copied and shown without them.
 * Opened by calling.ts. A file that cannot be read is set aside and told: then channels must be entered again.
 */
import { randomBytes } from 'node:crypto';
import { chmodSync, existsSync, readFileSync, renameSync } from 'node:fs';
import { join } from 'node:path';
import { z } from 'zod';
import { OWNER_ONLY, writeForOwner } from '../settings/owner-file.js';
import { drawnPushKeys, type PushKeys } from './web-push.js';

export const CALLING_SECRETS_FILE = 'calling-secrets.json';

const targetSchema = z.discriminatedUnion('kind', [
  z.object({
    kind: z.literal('web-push'),
    subscription: z.object({ endpoint: z.string(), keys: z.object({ p256dh: z.string(), auth: z.string() }) }),
  }),
  z.object({ kind: z.literal('e-mail'), address: z.string() }),
  z.object({
    kind: z.literal('webhook'),
    address: z.string(),
    allowPrivateAddress: z.boolean(),
    template: z.string(),
    contentType: z.string(),
    headers: z.array(z.object({ name: z.string(), value: z.string() })),
  }),
]);
/** Where a channel leads. */
export type ChannelTarget = z.infer<typeof targetSchema>;

const fileSchema = z.object({
  push: z.object({ publicKey: z.string(), privateKey: z.string() }),
  tokenKey: z.string().regex(/^[0-9a-f]{64}$/),
  mailPassword: z.string().optional(),
  /** By number of the channel. */
  targets: z.record(z.string(), targetSchema),
});
type Kept = z.infer<typeof fileSchema>;

export interface CallingSecrets {
  readonly pushKeys: PushKeys;
  readonly tokenKey: Buffer;
  mailPassword(): string | undefined;
  setMailPassword(password: string | undefined): void;
  target(channelId: number): ChannelTarget | undefined;
  /** On disk when these return. Throw when the file cannot be written, and then nothing has changed. */
  keepTarget(channelId: number, target: ChannelTarget): void;
  forgetTargets(channelIds: readonly number[]): void;
  /** What was wrong with the file at the start, in a whole sentence. */
  readonly problem: string | undefined;
}

export function openCallingSecrets(folder: string): CallingSecrets {
  const file = join(folder, CALLING_SECRETS_FILE);
  let problem: string | undefined;
  let kept: Kept | undefined;
  if (existsSync(file)) {
    try {
      chmodSync(file, OWNER_ONLY);
      kept = fileSchema.parse(JSON.parse(readFileSync(file, 'utf8')));
    } catch (fault) {
      const aside = `${file}.damaged`;
      // What could not be read is not repeated: it may hold what is secret.
      const why = fault instanceof z.ZodError || fault instanceof SyntaxError ? 'it is not what Bathkeeper writes' : (fault as Error).message; // prettier-ignore
      problem =
        `The file of the ways to the phone cannot be read (${why}). It was set aside as ${aside}. ` +
        'Nobody can be called until the channels of the contacts are entered again.';
      renameSync(file, aside);
    }
  }
  const write = (next: Kept): Kept => {
    writeForOwner(file, `${JSON.stringify(next)}\n`);
    return next;
  };
  let now =
    kept ?? write({ push: drawnPushKeys(), tokenKey: randomBytes(32).toString('hex'), targets: {} } satisfies Kept);
  const tokenKey = Buffer.from(now.tokenKey, 'hex');
  return {
    pushKeys: now.push,
    tokenKey,
    mailPassword: () => now.mailPassword,
    setMailPassword: (password) => {
      const { mailPassword: _old, ...rest } = now;
      now = write(password === undefined ? rest : { ...rest, mailPassword: password });
    },
    target: (channelId) => now.targets[String(channelId)],
    keepTarget: (channelId, target) => {
      now = write({ ...now, targets: { ...now.targets, [String(channelId)]: target } });
    },
    forgetTargets: (channelIds) => {
      const gone = new Set(channelIds.map(String));
      if (![...gone].some((id) => id in now.targets)) return;
      now = write({ ...now, targets: Object.fromEntries(Object.entries(now.targets).filter(([id]) => !gone.has(id))) });
    },
    problem,
  };
}
