/*
 * The signs of life to every paired controller, by which it knows where the dashboard is and that it watches. Opened by the composition root,
 * which sends them at their time and says how they go out on the network.
 */
import type { BathBook } from '../baths/bath-book.js';
import type { DashboardClock } from '../clock.js';
import type { Failures } from '../failures.js';
import type { Store } from '../store/store.js';
import { provedSignOfLife } from './proof.js';

export const SIGN_OF_LIFE_SECONDS = 5;
/** Of the settings in the store: the time that the newest sign of life told. */
const SIGN_SECONDS = 'signSeconds';

/** Sends one to each controller. */
export function openSignsOfLife(options: {
  clock: DashboardClock;
  store: Store;
  book: BathBook;
  secretOf: (controllerId: string) => string | undefined;
  send: (text: string, controllerId: string) => void;
  guarded: Failures['guarded'];
}): () => void {
  const { clock, store, book, secretOf, send } = options;
  /**
   * A controller takes only a time newer than the newest: where this computer's clock was set back, the signs count on by seconds. Kept, since a small
   * computer without a clock chip may start with a clock behind its last signs, and each of them would be refused as replayed.
   */
  let signSeconds = Number(store.setting(SIGN_SECONDS) ?? 0);
  // A disk that is full stops no sign: the controllers would dial nobody, while this dashboard hears, judges and calls from memory.
  const keepTime = options.guarded('the time of the signs of life could not be stored', () => {
    store.setSetting(SIGN_SECONDS, String(signSeconds));
  });
  return () => {
    signSeconds = Math.max(signSeconds + 1, Math.floor(clock.nowMs() / 1000));
    keepTime();
    for (const { paired } of book.all()) {
      const secret = secretOf(paired.controllerId);
      if (secret !== undefined) send(provedSignOfLife(secret, paired.controllerId, signSeconds), paired.controllerId);
    }
  };
}
