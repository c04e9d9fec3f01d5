/*
 * The outward heartbeat: an address outside that is told regularly that the watch runs, so that its silence is noticed there. Opened by the
 * composition root. It beats only while the watch really runs; where it leads is kept in a file of the owner's alone, and never shown or logged.
 */
import { existsSync, readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { z } from 'zod';
import type { HeartbeatRequest, HeartbeatView } from '@bathkeeper/shared-core/messages';
import type { DashboardClock } from '../clock.js';
import { type PostOutcome, postToWebhook, shownAddress, type WebhookTarget } from '../notify/webhook-post.js';
import { writeForOwner } from '../settings/owner-file.js';

export const HEARTBEAT_FILE = 'heartbeat.json';
export const USUAL_MINUTES = 5;
const AGAIN_MS = 60_000;

const fileSchema = z
  .object({ address: z.string(), everyMinutes: z.number(), allowPrivateAddress: z.boolean() })
  .strict();

export interface Heartbeat {
  view(): HeartbeatView;
  /** On disk when this returns; the first beat follows at once. The address is already known to be one. */
  set(request: HeartbeatRequest): void;
  /** Beats if it is due; resolves when the answer is in. */
  pump(): Promise<void>;
  readonly underWay: number;
  /** What was wrong with its file at the start, in a whole sentence. */
  readonly fileProblem: string | undefined;
  close(): void;
}

export function openHeartbeat(options: {
  dataFolder: string;
  clock: DashboardClock;
  /** What keeps the watch from being one; undefined: it runs. */
  watchProblem: () => string | undefined;
  changed: () => void;
  post?: (target: WebhookTarget, body: string) => Promise<PostOutcome>;
}): Heartbeat {
  const { clock } = options;
  const post = options.post ?? postToWebhook;
  const file = join(options.dataFolder, HEARTBEAT_FILE);
  let fileProblem: string | undefined;
  let target = kept();
  let lastAnsweredAtMs: number | null = null;
  let lastFailure: string | null = null;
  let nextAtMs = clock.nowMs();
  let beating: Promise<void> | undefined;
  let isClosed = false;

  function kept(): HeartbeatRequest | undefined {
    if (!existsSync(file)) return undefined;
    try {
      return fileSchema.parse(JSON.parse(readFileSync(file, 'utf8')));
    } catch {
      fileProblem = `The outward heartbeat's address cannot be read (${file}). Nobody outside notices when this dashboard dies: enter it again in the settings.`;
      return undefined;
    }
  }
  const beat = async (to: HeartbeatRequest): Promise<void> => {
    const sentAtMs = clock.nowMs();
    const outcome = await post(to, JSON.stringify({ from: 'Bathkeeper', sentAt: new Date(sentAtMs).toISOString() }));
    // Of another address by now.
    if (to !== target || isClosed) return;
    if (outcome.delivered) {
      lastAnsweredAtMs = clock.nowMs();
      lastFailure = null;
      nextAtMs = sentAtMs + to.everyMinutes * 60_000;
    } else {
      lastFailure = outcome.words;
      nextAtMs = clock.nowMs() + Math.min(AGAIN_MS, to.everyMinutes * 60_000);
    }
    options.changed();
  };
  const startDue = (): void => {
    if (target === undefined || isClosed || beating !== undefined) return;
    // A clock that was set back must not keep it away: that would call somebody to a dashboard that lives.
    const waitMs = nextAtMs - clock.nowMs();
    if (waitMs > 0 && waitMs <= target.everyMinutes * 60_000) return;
    const problem = options.watchProblem();
    if (problem !== undefined) {
      // Asked again each second: it beats as soon as the watch runs again.
      const words = `Held back, since the watch does not run. ${problem}`;
      if (lastFailure !== words) options.changed();
      lastFailure = words;
      return;
    }
    beating = beat(target).finally(() => {
      beating = undefined;
    });
  };
  const stop = clock.every(1000, startDue);
  return {
    view: () => ({
      isSet: target !== undefined,
      shownAddress: target === undefined ? null : shownAddress(target.address),
      everyMinutes: target?.everyMinutes ?? USUAL_MINUTES,
      lastAnsweredAtMs,
      lastFailure,
    }),
    set: (request) => {
      if (request.address === '') {
        rmSync(file, { force: true });
        target = undefined;
      } else {
        writeForOwner(file, `${JSON.stringify(request)}\n`);
        target = request;
      }
      fileProblem = undefined;
      lastAnsweredAtMs = null;
      lastFailure = null;
      nextAtMs = clock.nowMs();
      options.changed();
      startDue();
    },
    pump: async () => {
      startDue();
      await beating;
    },
    get underWay() {
      return beating === undefined ? 0 : 1;
    },
    get fileProblem() {
      return fileProblem;
    },
    close: () => {
      isClosed = true;
      stop();
    },
  };
}
