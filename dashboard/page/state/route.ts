/*
 * Which screen is shown, from the part of the address behind the hash; and the one-time token of a first start.
 * Read by the page; the token leaves the address as soon as it was read, so that it stays in no history.
 */
import { signal } from '@preact/signals';
import type { RunKey } from '@bathkeeper/shared-core/trade';

export type Route =
  | { readonly screen: 'settings' }
  | { readonly screen: 'calls' }
  /** What the store holds, whether it is sound, and its backups. */
  | { readonly screen: 'keeping' }
  | { readonly screen: 'journal' }
  | { readonly screen: 'part' }
  | { readonly screen: 'plan' }
  | { readonly screen: 'plans' }
  | { readonly screen: 'job-sheet' }
  | { readonly screen: 'rehearsal' }
  /** The ledgers of baths; null: all of them. */
  | { readonly screen: 'ledger'; readonly bathId: number | null }
  /** What chemicals are left, and what they cost. */
  | { readonly screen: 'stock' }
  | { readonly screen: 'logbook' }
  /** One run of the logbook. */
  | { readonly screen: 'run'; readonly key: RunKey }
  /** Two runs laid over each other. */
  | { readonly screen: 'compare'; readonly first: RunKey; readonly second: RunKey }
  /** What was logged of a bath; `view`: from when to when, in milliseconds; null: the newest. */
  | {
      readonly screen: 'charts';
      readonly controllerId: string;
      readonly view: { readonly from: number; readonly to: number } | null;
    }
  /** A recipe from a plan; null: the bath is still to be chosen. */
  | { readonly screen: 'recipe'; readonly controllerId: string | null }
  /** What has to stand before a run is left alone. */
  | { readonly screen: 'leave-alone'; readonly controllerId: string }
  /** The bath of this alarm, with its story opened: where a notification leads. */
  | { readonly screen: 'alarm'; readonly alarmId: number }
  /** null: of a controller that is not paired yet. */
  | { readonly screen: 'bring-up'; readonly controllerId: string | null }
  | { readonly screen: 'bath'; readonly controllerId: string | null };

/** A hash that is not well written is no reason to show nothing. */
function plainHash(): string {
  const written = location.hash.replace(/^#/, '');
  try {
    return decodeURIComponent(written);
  } catch {
    return written;
  }
}

const rooms = [
  'settings',
  'stock',
  'keeping',
  'calls',
  'journal',
  'part',
  'plan',
  'plans',
  'job-sheet',
  'rehearsal',
  'logbook',
] as const;

/** Of `controller/incarnation/run`. */
function keyIn(written: string): RunKey {
  const [controllerId = '', incarnation, run] = written.split('/');
  return { controllerId, incarnation: Number(incarnation), run: Number(run) };
}

function routeNow(): Route {
  const hash = plainHash();
  const room = rooms.find((one) => one === hash);
  if (room !== undefined) return { screen: room };
  if (hash === 'ledger') return { screen: 'ledger', bathId: null };
  if (/^ledger\/\d{1,15}$/.test(hash)) return { screen: 'ledger', bathId: Number(hash.slice(7)) };
  if (hash === 'recipe') return { screen: 'recipe', controllerId: null };
  if (hash.startsWith('recipe/')) return { screen: 'recipe', controllerId: hash.slice(7) };
  if (hash.startsWith('leave-alone/')) return { screen: 'leave-alone', controllerId: hash.slice(12) };
  if (/^alarm\/\d{1,15}$/.test(hash)) return { screen: 'alarm', alarmId: Number(hash.slice(6)) };
  if (hash === 'bring-up') return { screen: 'bring-up', controllerId: null };
  if (hash.startsWith('bring-up/')) return { screen: 'bring-up', controllerId: hash.slice(9) };
  const run = /^run\/([^/]+\/\d{1,15}\/\d{1,15})$/.exec(hash);
  if (run !== null) return { screen: 'run', key: keyIn(run[1]!) };
  const compare = /^compare\/([^/]+\/\d{1,15}\/\d{1,15})\/([^/]+\/\d{1,15}\/\d{1,15})$/.exec(hash);
  if (compare !== null) return { screen: 'compare', first: keyIn(compare[1]!), second: keyIn(compare[2]!) };
  const charts = /^charts\/([^/]+)(?:\/(\d{1,15})\/(\d{1,15}))?$/.exec(hash);
  if (charts !== null) {
    const [from, to] = [Number(charts[2]), Number(charts[3])];
    return { screen: 'charts', controllerId: charts[1]!, view: from < to ? { from, to } : null };
  }
  return { screen: 'bath', controllerId: hash.startsWith('bath/') ? hash.slice(5) : null };
}

export const route = signal<Route>(routeNow());
addEventListener('hashchange', () => {
  route.value = routeNow();
  scrollTo(0, 0);
});

export const bathAddress = (controllerId: string): string => `#bath/${encodeURIComponent(controllerId)}`;

export const PLAN_ADDRESS = '#plan';
export const SAVED_PLANS_ADDRESS = '#plans';
export const JOB_SHEET_ADDRESS = '#job-sheet';
export const LOGBOOK_ADDRESS = '#logbook';
const runInAddress = ({ controllerId, incarnation, run }: RunKey): string =>
  `${encodeURIComponent(controllerId)}/${String(incarnation)}/${String(run)}`;
export const runAddress = (key: RunKey): string => `#run/${runInAddress(key)}`;
export const compareAddress = (first: RunKey, second: RunKey): string =>
  `#compare/${runInAddress(first)}/${runInAddress(second)}`;
export const chartsAddress = (
  controllerId: string,
  view: { readonly from: number; readonly to: number } | null,
): string =>
  `#charts/${encodeURIComponent(controllerId)}${view === null ? '' : `/${String(Math.round(view.from))}/${String(Math.round(view.to))}`}`;
export const REHEARSAL_ADDRESS = '#rehearsal';

export const ledgerAddress = (bathId: number | null): string =>
  bathId === null ? '#ledger' : `#ledger/${String(bathId)}`;

export const STOCK_ADDRESS = '#stock';

export const recipeAddress = (controllerId: string | null): string =>
  controllerId === null ? '#recipe' : `#recipe/${encodeURIComponent(controllerId)}`;

export const alarmAddress = (alarmId: number): string => `#alarm/${String(alarmId)}`;

export const leaveAloneAddress = (controllerId: string): string => `#leave-alone/${encodeURIComponent(controllerId)}`;

export const bringUpAddress = (controllerId: string | null): string =>
  controllerId === null ? '#bring-up' : `#bring-up/${encodeURIComponent(controllerId)}`;

const firstStartToken = new URLSearchParams(location.search).get('token');

/** The token that the one-time link carried, or null. */
export function takenToken(): string | null {
  return firstStartToken;
}

/** Called when the door is open: the token is spent. */
export function forgetToken(): void {
  if (location.search !== '' || location.pathname !== '/') history.replaceState(null, '', '/' + location.hash);
}
