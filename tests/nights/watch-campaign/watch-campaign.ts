/*
 * The watch's campaign on several threads: `npm run nights -- --watch --count 1000 --seed 1`. Called by the command and the benchmarks. It plays
 * what is asked and answers the verdicts; `watch-summary.ts` adds them up.
 */
import { Worker } from 'node:worker_threads';
import { askedNights, shortcomings, summaryText } from './watch-summary.js';
import type { WatchAsked, WatchVerdict } from './watch-night.js';
import type { WatchAnswer } from './watch-worker.js';

/** Plays all of them, as many at once as there are jobs. Throws when a night could not be played. */
export async function playedWatchNights(
  nights: readonly WatchAsked[],
  jobs: number,
  told: (verdict: WatchVerdict, count: number) => void = () => undefined,
): Promise<WatchVerdict[]> {
  const verdicts: WatchVerdict[] = [];
  let next = 0;
  await Promise.all(
    Array.from({ length: Math.min(jobs, nights.length) }, async () => {
      const worker = new Worker(new URL('./watch-worker.js', import.meta.url));
      try {
        while (next < nights.length) {
          const asked = nights[next++]!;
          const answer = await new Promise<WatchAnswer>((answered, failed) => {
            worker.once('error', failed);
            worker.once('message', (message: WatchAnswer) => {
              worker.off('error', failed);
              answered(message);
            });
            worker.postMessage(asked);
          });
          if ('failure' in answer)
            throw new Error(
              `seed ${String(asked.seed)}, ${asked.kind}, ${asked.fault}: the night could not be played: ${answer.failure}`,
            );
          verdicts.push(answer.verdict);
          told(answer.verdict, verdicts.length);
        }
      } finally {
        await worker.terminate();
      }
    }),
  );
  return verdicts;
}

/** The command. Answers the process's exit code: 1 when something that is asked was not reached. */
export async function watchCampaign(asked: {
  readonly count: number;
  readonly seed: number;
  readonly jobs: number;
  readonly isVerbose: boolean;
}): Promise<number> {
  const startedMs = performance.now();
  const minutes = (): string => ((performance.now() - startedMs) / 60_000).toFixed(1);
  const nights = askedNights(asked.count, asked.seed);
  const verdicts = await playedWatchNights(nights, asked.jobs, (verdict, count) => {
    const { seed, kind, fault, falseCalls, isUnfit, calledAfterSeconds } = verdict;
    const night = `seed ${String(seed)}, ${kind}, ${fault}`;
    if (isUnfit === null && falseCalls.length > 0)
      console.log(`${night}: called falsely\n  ${falseCalls.join('\n  ')}`);
    else if (asked.isVerbose) console.log(`${night}: ${isUnfit ?? `call after ${String(calledAfterSeconds)} s`}`);
    if (count % 200 === 0) console.log(`${String(count)} of ${String(nights.length)} nights, ${minutes()} min`);
  });
  const problems = shortcomings(verdicts);
  const hours = verdicts.reduce((sum, verdict) => sum + verdict.hours, 0);
  console.log(summaryText(verdicts));
  console.log(
    `${String(verdicts.length)} nights from seed ${String(asked.seed)}, ${hours.toFixed(0)} h, in ${minutes()} min on ${String(asked.jobs)} threads. ` +
      (problems.length === 0 ? 'Everything that is asked was reached.' : problems.join(' ')),
  );
  return problems.length === 0 ? 0 : 1;
}
