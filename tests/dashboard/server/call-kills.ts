/*
 * Kills a dashboard again and again (SIGKILL, a real process) between raising an alarm and noting that its call was sent, starts it again on the
 * same folder, and says what the receiver got. Called by the test, and with many more kills by the benchmark. The instants come from a seed.
 */
import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { createServer, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import { fileURLToPath } from 'node:url';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { createDashboard, systemClock } from '@bathkeeper/dashboard';
import Database from 'better-sqlite3';
import type { CallPayload } from '@bathkeeper/shared-core/messages';
import { addPerson } from './called-person.js';
import { drawn } from '../../seeded-draws.js';

/** When the kill falls. */
type Instant = 'after-a-while' | 'at-the-receiver' | 'after-the-answer' | 'in-the-start';

export interface Kills {
  readonly seed: number;
  readonly killCount: number;
  /** Alarms that were in the store when it was opened last; each must have been told. */
  readonly storedCount: number;
  /** Alarms of which no call arrived. */
  readonly lost: readonly string[];
  /** Alarms that the child had told to be stored, and that the store does not hold. */
  readonly forgotten: readonly string[];
  /** Deliveries that came again although the store had noted them before the restart. */
  readonly needless: readonly string[];
  /** Deliveries that came twice or more under one id. */
  readonly repeatedCount: number;
  /** Kills that fell between handing over and noting, by the receiver's own account. */
  readonly killsBetween: number;
  /** Calls that came under more than one id. */
  readonly underOtherIds: readonly string[];
  /** How many kills fell at each instant. */
  readonly instants: Readonly<Record<Instant, number>>;
}

const INSTANTS: readonly Instant[] = ['after-a-while', 'after-a-while', 'at-the-receiver', 'after-the-answer', 'in-the-start']; // prettier-ignore
/** Raising, sending and noting take some 5 to 30 ms together: kills are spread over all of it. */
const WHILE_MS_MAX = 40;

export async function killedWhileCalling(folder: string, killCount: number, seed: number): Promise<Kills> {
  const random = drawn(seed);
  const got: { id: string; alarm: string }[] = [];
  const instants: Record<Instant, number> = { 'after-a-while': 0, 'at-the-receiver': 0, 'after-the-answer': 0, 'in-the-start': 0 }; // prettier-ignore
  let killsBetween = 0;
  /** Ids of what the store had noted as sent when it was last killed. */
  let noted: ReadonlySet<string> = new Set();
  const needless: string[] = [];
  /** Called when a call has arrived whole, before it is answered. */
  let atReceiver: (answer: () => void) => void = (answer) => {
    answer();
  };
  const receiver = createServer((request, response: ServerResponse) => {
    let text = '';
    request.on('data', (bytes: Buffer) => (text += bytes.toString()));
    request.on('error', () => undefined);
    request.on('end', () => {
      const { id, controller } = JSON.parse(text) as CallPayload;
      got.push({ id, alarm: controller });
      if (noted.has(id)) needless.push(id);
      atReceiver(() => response.writeHead(204).end());
    });
  });
  await new Promise<void>((done) => void receiver.listen(0, '127.0.0.1', done));
  const address = `http://127.0.0.1:${String((receiver.address() as AddressInfo).port)}/`;

  const before = await createDashboard({ clock: systemClock(), dataFolder: folder });
  addPerson(before, address);
  // No reminder falls into the trial: what comes twice comes twice by repetition.
  before.calling.settings.setEscalation({ againAfterMinutes: 240, nextPersonAfterMinutes: 240 });
  await before.close();

  const raised = new Set<string>();
  const start = async (): Promise<ChildProcess> => {
    const child = spawn(process.execPath, [fileURLToPath(new URL('caller-to-kill.mjs', sourceFolder)), folder], {
      stdio: ['pipe', 'pipe', 'inherit'],
    });
    child.stdin.on('error', () => undefined);
    const lines = createInterface({ input: child.stdout });
    const ready = new Promise<void>((done, failed) => {
      lines.on('line', (line) => {
        if (line === 'ready') done();
        else raised.add(line.replace('raised ', ''));
      });
      child.once('exit', () => {
        failed(new Error('the dashboard ended before it was ready'));
      });
    });
    await ready;
    return child;
  };
  const kill = async (child: ChildProcess): Promise<void> => {
    if (child.exitCode !== null || child.signalCode !== null) throw new Error('the dashboard ended by itself');
    const gone = once(child, 'exit');
    child.kill('SIGKILL');
    await gone;
    const store = new Database(join(folder, 'bathkeeper.sqlite'), { readonly: true });
    const rows = store.prepare<[], string>(
      `SELECT c.call_id || '-' || d.delivery_number FROM deliveries d JOIN calls c ON c.call_number = d.call_number
       WHERE d.delivered_at_ms IS NOT NULL`,
    );
    noted = new Set(rows.pluck().all());
    store.close();
  };

  for (let turn = 0; turn < killCount; turn++) {
    const instant = INSTANTS[Math.floor(random() * INSTANTS.length)]!;
    const whileMs = random() * WHILE_MS_MAX;
    instants[instant]++;
    const child = await start();
    const alarm = `bath-${String(turn)}`;
    const arrived = new Promise<() => void>((done) => {
      atReceiver = (answer) => {
        // What an earlier kill left over is taken as usual.
        if (got.at(-1)!.alarm === alarm) done(answer);
        else answer();
      };
    });
    if (instant !== 'in-the-start') child.stdin?.write(`${alarm}\n`);
    if (instant === 'at-the-receiver' || instant === 'after-the-answer') {
      const ended = once(child, 'exit').then(() => Promise.reject(new Error('the dashboard ended before it called')));
      ended.catch(() => undefined);
      const answer = await Promise.race([arrived, ended]);
      if (instant === 'after-the-answer') answer();
      else killsBetween++;
    } else {
      void arrived.then((answer) => {
        answer();
      });
      // Not to wait for anything: the instant of the kill is drawn.
      await new Promise((done) => setTimeout(done, whileMs));
    }
    await kill(child);
  }
  atReceiver = (answer) => {
    answer();
  };
  const after = await createDashboard({ clock: systemClock(), dataFolder: folder });
  await after.settle();
  const stored = after.store.database.prepare<[], string>('SELECT controller_id FROM alarms').pluck().all();
  await after.close();
  receiver.closeAllConnections();
  receiver.close();

  const idsOf = new Map<string, Set<string>>();
  for (const { id, alarm } of got) idsOf.set(alarm, (idsOf.get(alarm) ?? new Set()).add(id));
  const counts = new Map<string, number>();
  for (const { id } of got) counts.set(id, (counts.get(id) ?? 0) + 1);
  return {
    seed,
    killCount,
    storedCount: stored.length,
    lost: stored.filter((alarm) => !idsOf.has(alarm)),
    forgotten: [...raised].filter((alarm) => !stored.includes(alarm)),
    needless,
    repeatedCount: [...counts.values()].filter((count) => count > 1).length,
    killsBetween,
    underOtherIds: [...idsOf].filter(([, ids]) => ids.size > 1).map(([alarm]) => alarm),
    instants,
  };
}

/** The sources' folder, also when this file runs compiled. */
const sourceFolder = new URL(import.meta.url.replace('/tests/dist/', '/tests/'));
