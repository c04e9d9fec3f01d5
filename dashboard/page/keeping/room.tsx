/*
 * Keeping: whether the store is sound, its backups, how long its disk will do. Reached from the settings. It asks again while something is under way, so that its end shows by itself.
 */
import { useEffect } from 'preact/hooks';
import type { KeepingView } from '@bathkeeper/shared-core/messages';
import { useAsked } from '../state/asked.js';
import { askKeeping } from '../state/keeping-api.js';
import { roomWords } from '../words/keeping-words.js';
import { RefusalWords } from '../screens/refusal.js';
import { Backups } from './backups.js';
import { StoreCheck } from './store-check.js';

const ASKED_AGAIN_MS = 1000;

export function KeepingRoom() {
  const { value, refusal, again, take } = useAsked(askKeeping, []);
  const isUnderWay = value !== null && somethingIsUnderWay(value);
  useEffect(() => {
    if (!isUnderWay) return;
    const timer = setTimeout(again, ASKED_AGAIN_MS);
    return () => clearTimeout(timer);
  }, [value]);
  return (
    <main class="leaf settings keeping">
      <h1>What is kept</h1>
      {value === null ? (
        refusal === null && <p class="waiting">Asking the dashboard…</p>
      ) : (
        <>
          <section aria-labelledby="disk-title">
            <h2 id="disk-title">Room on the disk</h2>
            <p>{roomWords(value.room)}</p>
            <p class="hint">
              How long each second is kept is said at the start: <code>npm start -- --keep-records DAYS</code>.
            </p>
          </section>
          <Backups backups={value.backups} onAnswered={take} />
          <StoreCheck check={value.check} onAnswered={take} />
        </>
      )}
      <RefusalWords refusal={refusal} />
    </main>
  );
}

function somethingIsUnderWay({ check, backups }: KeepingView): boolean {
  return check.state === 'under-way' || backups.isUnderWay;
}
