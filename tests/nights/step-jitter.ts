/*
 * How far apart the control steps of the built bundle are while the link is well, flaps, or vanishes, and what the current does meanwhile, in the
 * virtual bath. `npm run nights -- --jitter` prints it as a table; a test holds what must not happen. The virtual bath counts the time of
 * buses and of calls that block, and none for the program's own work.
 */
import {
  bundleText,
  type ScheduledFault,
  simulatedBoardSettings,
  StandInDashboard,
  startNight,
  VirtualBath,
} from '@bathkeeper/firmware/bench';
import { recipeRow } from '@bathkeeper/dashboard';
import { nightRecipe } from './night-recipe.js';

export interface StepJitter {
  readonly link: string;
  readonly steps: number;
  /** Seconds between the ends of neighbouring control steps. */
  readonly intervalSeconds: {
    readonly p1: number;
    readonly median: number;
    readonly p99: number;
    readonly most: number;
  };
  /** When the longest of them began, on the night's clock. */
  readonly longestFromSeconds: number;
  readonly connections: number;
  /** Steps that came more than ten seconds after the one before: a dial that nobody answered held the program up. */
  readonly stalls: number;
  /** Least mean between two steps, and the most at any instant. */
  readonly leastAmps: number;
  readonly mostAmps: number;
  /** At a stretch above 1.2 times the recipe's highest current, which is the alert's limit. */
  readonly aboveLimitSeconds: number;
  /** Why the contactor opened. */
  readonly openings: readonly string[];
  readonly restarts: number;
}

interface Link {
  readonly link: string;
  /** Once a second of the watched time. */
  readonly act: (bath: VirtualBath, standIn: StandInDashboard, second: number) => void;
}

const MINUTE = 60;
/** A dial that stalled is followed by one after up to fifteen minutes: so the host is there between two of its losses. */
const VANISHES_EVERY_SECONDS = 20 * MINUTE;
const VANISHES_FOR_SECONDS = 2 * MINUTE;
const STALL_SECONDS = 10;
const SURGE_AFTER_SECONDS = 3;

export const links: readonly Link[] = [
  { link: 'quiet', act: () => undefined },
  {
    link: 'broker restarts each minute, 5 s',
    act: (_bath, standIn, second) => {
      if (second % MINUTE === 0) {
        standIn.dropConnection();
        standIn.reachable = 'refused';
      } else if (second % MINUTE === 5) standIn.reachable = 'yes';
    },
  },
  {
    link: 'Wi-Fi drops each minute, 10 s',
    act: (bath, _standIn, second) => {
      if (second % MINUTE === 0) bath.setNetworkTrouble('lost');
      else if (second % MINUTE === 10) bath.setNetworkTrouble('none');
    },
  },
  {
    link: 'host vanishes, signs of life go on',
    act: (bath, _standIn, second) => {
      if (second % VANISHES_EVERY_SECONDS === 0) bath.setNetworkTrouble('unanswered');
      else if (second % VANISHES_EVERY_SECONDS === VANISHES_FOR_SECONDS) bath.setNetworkTrouble('none');
    },
  },
];

/** Plates undisturbed for an hour, then watches for so many. */
export function stepJitter(
  { link, act }: Link,
  watchedHours: number,
  seed: number,
  faults: readonly ScheduledFault[] = [],
): StepJitter {
  const settings = simulatedBoardSettings();
  const standIn = new StandInDashboard(settings);
  const bath = new VirtualBath({ bundle: bundleText(), seed, settings, network: standIn, hasWifi: true, faults });
  const { chain, tank, watchdog } = bath.parts;
  const { recipe } = nightRecipe(10, 1, 0);
  const problem = startNight(bath, standIn, recipeRow(recipe));
  if (problem !== undefined) throw new Error(problem);
  standIn.play(bath, 3600);

  tank.largestCurrentAmps = 0;
  // 2 % for the error of the measuring chain, as the campaign has it.
  tank.watchedAmps = 1.2 * recipe.plateAmps * 1.02;
  const intervals: number[] = [];
  let before = watchdog.kickedAtSeconds;
  let coulombsBefore = NaN;
  let leastAmps = Infinity;
  const longest = { seconds: 0, fromSeconds: 0 };
  watchdog.onKick = (nowSeconds) => {
    const seconds = nowSeconds - before;
    tank.advanceTo(nowSeconds);
    const meanAmps = (tank.chargeCoulombs - coulombsBefore) / seconds;
    if (meanAmps < leastAmps) leastAmps = meanAmps;
    if (seconds > longest.seconds) Object.assign(longest, { seconds, fromSeconds: before });
    intervals.push(seconds);
    before = nowSeconds;
    coulombsBefore = tank.chargeCoulombs;
  };
  const openingsBefore = chain.log.length;
  const connectionsBefore = standIn.connectionCount;
  for (let second = 0; second < watchedHours * 3600; second++) {
    act(bath, standIn, second);
    if (second % 5 === 0) bath.deliverSignOfLife(standIn.signOfLife(bath.nightSeconds));
    bath.advance(1);
  }
  const sorted = Float64Array.from(intervals).sort();
  const at = (fraction: number): number => sorted[Math.min(sorted.length - 1, Math.floor(fraction * sorted.length))]!;
  return {
    link,
    steps: sorted.length,
    intervalSeconds: { p1: at(0.01), median: at(0.5), p99: at(0.99), most: longest.seconds },
    longestFromSeconds: longest.fromSeconds,
    connections: standIn.connectionCount - connectionsBefore,
    stalls: intervals.filter((seconds) => seconds > STALL_SECONDS).length,
    ...{ leastAmps, mostAmps: tank.largestCurrentAmps, aboveLimitSeconds: tank.longestAbove.seconds },
    openings: chain.log
      .slice(openingsBefore)
      .filter(({ isClosed }) => !isClosed)
      .map(({ because }) => because),
    restarts: bath.bootLog.length - 1,
  };
}

/** Each kind of link, and the worst: the supply gives 1.6 times what it should while the program is held up by a dial. */
export function allStepJitter(watchedHours: number, seed: number): StepJitter[] {
  const rows = links.map((link) => stepJitter(link, watchedHours, seed));
  const vanished = rows.at(-1)!;
  const worst = stepJitter(links.at(-1)!, watchedHours, seed, [
    { name: 'overcurrent', scope: 'bath', atSeconds: vanished.longestFromSeconds + SURGE_AFTER_SECONDS },
  ]);
  return [...rows, { ...worst, link: `${vanished.link}, and the supply surges within a stalled dial` }];
}

/** The rows as a table in Markdown. */
export function jitterTable(rows: readonly StepJitter[]): string {
  const cells = rows.map((row) => [
    row.link,
    String(row.steps),
    ...Object.values(row.intervalSeconds).map((seconds) => `${(seconds * 1000).toFixed(0)} ms`),
    ...[String(row.connections), String(row.stalls)],
    ...[`${row.leastAmps.toFixed(2)} to ${row.mostAmps.toFixed(2)} A`, `${row.aboveLimitSeconds.toFixed(3)} s`],
    row.openings.length === 0 ? 'closed throughout' : `opened: ${row.openings.join('; ')}`,
    String(row.restarts),
  ]);
  const head = ['link', 'steps', '1 %', 'median', '99 %', 'worst', 'connections', 'stalled dials', 'current'];
  head.push('above the alert limit', 'contactor', 'restarts');
  return [head, head.map(() => '---'), ...cells].map((row) => `| ${row.join(' | ')} |`).join('\n');
}
