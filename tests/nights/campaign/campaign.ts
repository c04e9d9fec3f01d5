/*
 * `npm run nights -- --count 1000 --seed 1 [--hours 1..10] [--jobs N]` plays so many random nights on several threads and judges each;
 * `--replay SEED` plays one again with a full account. Ends with 1 when a night had a problem, with 2 when it was asked wrongly.
 */
import { availableParallelism } from 'node:os';
import { Worker } from 'node:worker_threads';
import { parseArgs } from 'node:util';
import { campaignBundles } from './bundles.js';
import { type NightAsked, playNight, type Verdict } from './play-night.js';
import { allStepJitter, jitterTable } from '../step-jitter.js';
import { watchCampaign } from '../watch-campaign/watch-campaign.js';
import type { WorkerAnswer } from './worker.js';

const USAGE = `npm run nights -- [options]

  --count N       nights to play, 50
  --seed N        seed of the first; the others follow one by one, 1
  --hours A..B    shortest and longest night, 1..10
  --jobs N        threads, as many as the machine has cores
  --replay SEED   plays this night alone, with a full account (and the same --hours)
  --watch         instead: so many clean nights for the dashboard's watch, and a tenth as many of each of its faults, as a table
  --jitter        instead: how far apart the control steps are while the link flaps, two hours of each, as a table
  --verbose       a line for each night`;

interface Asked {
  readonly count: number;
  readonly seed: number;
  readonly hoursMin: number;
  readonly hoursMax: number;
  readonly jobs: number;
  readonly replay: number | undefined;
  readonly isVerbose: boolean;
  readonly isJitter: boolean;
  readonly isWatch: boolean;
}

function asked(args: readonly string[]): Asked | string[] {
  let values;
  try {
    values = parseArgs({
      args: [...args],
      options: {
        count: { type: 'string', default: '50' },
        seed: { type: 'string', default: '1' },
        hours: { type: 'string', default: '1..10' },
        jobs: { type: 'string', default: String(availableParallelism()) },
        replay: { type: 'string' },
        verbose: { type: 'boolean', default: false },
        jitter: { type: 'boolean', default: false },
        watch: { type: 'boolean', default: false },
      },
    }).values;
  } catch (fault) {
    return [(fault as Error).message, USAGE];
  }
  const problems: string[] = [];
  const whole = (name: string, text: string, least: number): number => {
    const value = Number(text);
    if (text === '' || !Number.isInteger(value) || value < least)
      problems.push(`--${name}: expected a whole number from ${String(least)} on, got "${text}".`);
    return value;
  };
  const hours = /^(\d+(?:\.\d+)?)\.\.(\d+(?:\.\d+)?)$/.exec(values.hours);
  const [hoursMin, hoursMax] = [Number(hours?.[1]), Number(hours?.[2])];
  if (!(hoursMin >= 0.2 && hoursMax >= hoursMin && hoursMax <= 14))
    problems.push(`--hours: expected A..B within 0.2..14, as 1..10, got "${values.hours}".`);
  const found: Asked = {
    count: whole('count', values.count, 1),
    seed: whole('seed', values.seed, 0),
    ...{ hoursMin, hoursMax },
    jobs: whole('jobs', values.jobs, 1),
    replay: values.replay === undefined ? undefined : whole('replay', values.replay, 0),
    isVerbose: values.verbose,
    isJitter: values.jitter,
    isWatch: values.watch,
  };
  return problems.length > 0 ? [...problems, USAGE] : found;
}

const request = asked(process.argv.slice(2));
if (Array.isArray(request)) {
  console.error(request.join('\n'));
  process.exit(2);
}
if (request.isJitter) {
  const JITTER_HOURS = 2;
  console.log(jitterTable(allStepJitter(JITTER_HOURS, request.seed)));
  process.exit(0);
}
if (request.isWatch) process.exit(await watchCampaign(request));
const bundles = await campaignBundles();
const { hoursMin, hoursMax, isVerbose } = request;
const night = (seed: number): NightAsked => ({ seed, hoursMin, hoursMax });

if (request.replay !== undefined) {
  const verdict = playNight(night(request.replay), bundles, (line) => {
    console.log(line);
  });
  process.exit(verdict.problems.length > 0 ? 1 : 0);
}

const startedMs = performance.now();
const coresBefore = process.cpuUsage();
/** Of all threads, since the first night began. */
function coreSeconds(): number {
  const { user, system } = process.cpuUsage(coresBefore);
  return (user + system) / 1e6;
}
const verdicts: Verdict[] = [];
let failures = 0;
let next = 0;

function report(seed: number, lines: readonly string[]): void {
  failures++;
  const hours = hoursMin === 1 && hoursMax === 10 ? '' : ` --hours ${String(hoursMin)}..${String(hoursMax)}`;
  console.log(
    `seed ${String(seed)}\n${lines.map((line) => `  ${line}`).join('\n')}\n  again: npm run nights -- --replay ${String(seed)}${hours}`,
  );
}

function take(answer: WorkerAnswer): void {
  if ('failure' in answer) {
    report(answer.seed, [answer.failure]);
    return;
  }
  const { verdict } = answer;
  verdicts.push(verdict);
  const summary = `${verdict.hours.toFixed(2)} h, ${verdict.faults.join(', ') || 'no fault'}; ended ${verdict.ended}`;
  if (verdict.problems.length > 0) report(verdict.seed, [summary, ...verdict.problems]);
  else if (isVerbose) console.log(`seed ${String(verdict.seed)}  ${summary}`);
  if (verdicts.length % 100 === 0)
    console.log(`${String(verdicts.length)} nights, ${((performance.now() - startedMs) / 60_000).toFixed(1)} min`);
}

await Promise.all(
  Array.from({ length: Math.min(request.jobs, request.count) }, async () => {
    const worker = new Worker(new URL('./worker.js', import.meta.url), { workerData: { bundles } });
    while (next < request.count) {
      const seed = request.seed + next++;
      const answer = await new Promise<WorkerAnswer>((answered) => {
        const died = (fault: Error): void => answered({ seed, failure: fault.stack ?? fault.message });
        worker.once('error', died);
        worker.once('message', (message: WorkerAnswer) => {
          worker.off('error', died);
          answered(message);
        });
        worker.postMessage(night(seed));
      });
      take(answer);
    }
    await worker.terminate();
  }),
);

const sum = (of: (verdict: Verdict) => number): number => verdicts.reduce((total, verdict) => total + of(verdict), 0);
/** The most frequent first. */
function counted(words: readonly string[]): string {
  const counts = new Map<string, number>();
  for (const word of words) counts.set(word, (counts.get(word) ?? 0) + 1);
  return [...counts]
    .sort((one, other) => other[1] - one[1])
    .map(([word, count]) => `${String(count)} ${word}`)
    .join(', ');
}
const hours = sum((verdict) => verdict.hours);
console.log(
  `${String(verdicts.length)} nights from seed ${String(request.seed)}, ${hours.toFixed(0)} h, ${String(sum((verdict) => verdict.faults.length))} faults, ` +
    `${String(sum((verdict) => verdict.owed.length))} conditions due, ${String(sum((verdict) => verdict.told))} told, ${String(sum((verdict) => verdict.boots))} boots.\n` +
    `Ended: ${counted(verdicts.map((verdict) => verdict.ended))}.\n` +
    `Due: ${counted(verdicts.flatMap((verdict) => verdict.owed))}.\n` +
    `${((performance.now() - startedMs) / 60_000).toFixed(1)} min on ${String(request.jobs)} threads, ${((coreSeconds() / hours) * 10).toFixed(1)} s of a core for 10 h.\n` +
    (failures === 0 ? 'No night had a problem.' : `${String(failures)} nights had a problem.`),
);
process.exit(failures > 0 ? 1 : 0);
