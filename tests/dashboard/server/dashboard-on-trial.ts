/*
 * A whole dashboard in a folder of its own, on a clock that the test moves. Called by the tests of the server's rooms;
 * it is closed and its folder removed after each test.
 */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import {
  createDashboard,
  type Dashboard,
  type DashboardOptions,
  type ManualClock,
  manualClock,
} from '@bathkeeper/dashboard';
import type { Logger } from 'pino';
import { afterEach } from 'vitest';
import { type QuietBath, quietBath, RIG } from './quiet-bath.js';

export const EVENING_MS = Date.UTC(2026, 0, 10, 20);
export const CONTROLLER = 'north-bench';
/** What the controller was paired with. */
export const SECRET = 'c0'.repeat(32);

export interface Trial {
  dashboard: Dashboard;
  clock: ManualClock;
  folder: string;
  bath: QuietBath;
  /** Signs of life that were sent, where they are kept. */
  signs: { text: string; controllerId: string }[];
  /** Moves the clock and lets everything that follows from it happen. */
  pass(seconds: number): Promise<void>;
  /** Closes the dashboard and opens it again on the same folder, `seconds` later. */
  restart(seconds?: number): Promise<void>;
}

const closings: (() => Promise<void>)[] = [];
afterEach(async () => {
  for (const close of closings.splice(0).reverse()) await close();
});

export function folderOnTrial(): string {
  const folder = mkdtempSync(join(tmpdir(), 'bathkeeper-test-'));
  closings.push(() => {
    rmSync(folder, { recursive: true, force: true });
    return Promise.resolve();
  });
  return folder;
}

export async function dashboardOnTrial(
  options: {
    isSimulated?: boolean;
    connect?: boolean;
    keepSigns?: boolean;
    logger?: Logger;
    /** More of the dashboard's own options. */
    more?: Partial<DashboardOptions>;
  } = {},
): Promise<Trial> {
  const folder = folderOnTrial();
  const clock = manualClock(EVENING_MS);
  const signs: Trial['signs'] = [];
  const open = (onClock: ManualClock): Promise<Dashboard> =>
    createDashboard({
      clock: onClock,
      dataFolder: folder,
      ...(options.logger === undefined ? {} : { logger: options.logger }),
      ...(options.keepSigns === true
        ? { sendSignOfLife: (text: string, controllerId: string) => signs.push({ text, controllerId }) }
        : {}),
      ...options.more,
    });
  const dashboard = await open(clock);
  await dashboard.pair(CONTROLLER, 'Copper 60 L', options.isSimulated ?? false, RIG, SECRET);
  const trial: Trial = {
    dashboard,
    clock,
    folder,
    signs,
    bath: undefined as unknown as QuietBath,
    pass: async (seconds) => {
      trial.clock.advanceTo(trial.clock.nowMs() + seconds * 1000);
      await trial.dashboard.settle();
    },
    restart: async (seconds = 1) => {
      const nowMs = trial.clock.nowMs() + seconds * 1000;
      await trial.dashboard.close();
      trial.clock = manualClock(nowMs);
      trial.dashboard = await open(trial.clock);
    },
  };
  closings.push(() => trial.dashboard.close());
  if (options.connect !== false) trial.bath = await quietBath(dashboard, CONTROLLER, SECRET);
  return trial;
}

/** Rows of a table of the store, for tests that look beneath. */
export function rowsOf(dashboard: Dashboard, sql: string): Record<string, unknown>[] {
  return dashboard.store.database.prepare<[], Record<string, unknown>>(sql).all();
}
