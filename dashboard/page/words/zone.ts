/* A time zone as the browser knows it: how far its clocks are ahead at a moment, and the moment at which they show a time. Called by ticks of an axis; pure. */

/** The zone of this device. */
export const ownZone = (): string => Intl.DateTimeFormat().resolvedOptions().timeZone;

const formats = new Map<string, Intl.DateTimeFormat>();

const partNames = ['year', 'month', 'day', 'hour', 'minute', 'second'] as const;

/** How far clocks of the zone are ahead of UTC, in milliseconds. Example: in Europe/Berlin 3,600,000 in winter. */
export function aheadMs(atMs: number, zone: string): number {
  const format = formats.get(zone) ?? new Intl.DateTimeFormat('en-GB', {
    timeZone: zone, hourCycle: 'h23', year: 'numeric', month: 'numeric', day: 'numeric', hour: 'numeric', minute: 'numeric', second: 'numeric',
  }); // prettier-ignore
  formats.set(zone, format);
  const parts = new Map(format.formatToParts(atMs).map(({ type, value }) => [type, Number(value)]));
  const [year, month, day, hour, minute, second] = partNames.map((name) => parts.get(name) ?? 0);
  return Date.UTC(year!, month! - 1, day, hour, minute, second) - Math.floor(atMs / 1000) * 1000;
}

/**
 * The moment at which clocks of the zone show a time, that time being counted as if it were UTC. Of an hour that clocks show twice the first; of one that they leave
 * out the moment at which they leap.
 */
export function momentOf(shownMs: number, zone: string): number {
  const [before, after] = [shownMs - 86_400_000, shownMs + 86_400_000].map((near) => aheadMs(near, zone)) as [
    number,
    number,
  ];
  const early = shownMs - Math.max(before, after);
  if (aheadMs(early, zone) === Math.max(before, after)) return early;
  const late = shownMs - Math.min(before, after);
  if (aheadMs(late, zone) === Math.min(before, after)) return late;
  return leapBetween(early, late, zone);
}

/** Where between two moments, at most some hours apart, clocks leap; to the second. */
function leapBetween(fromMs: number, toMs: number, zone: string): number {
  let [low, high] = [fromMs, toMs];
  const before = aheadMs(low, zone);
  while (high - low > 1000) {
    const middle = Math.floor((low + high) / 2000) * 1000;
    if (aheadMs(middle, zone) === before) low = middle;
    else high = middle;
  }
  return high;
}
