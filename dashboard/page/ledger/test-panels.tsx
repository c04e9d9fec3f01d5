/* What the newest test panels said: Hull cell and throwing power. Nothing stands here before there is one. */
import { type BathProfile, inOrder, type LedgerEntry } from '@bathkeeper/shared-core/trade';
import { serverNowMs } from '../state/state.js';
import { units } from '../state/units.js';
import { timeWords } from '../words/times.js';
import { careWords } from './care-words.js';
import { HullPanel } from './hull-panel.js';

export function TestPanels(props: { entries: readonly LedgerEntry[]; profile: BathProfile }) {
  const counted = inOrder(props.entries);
  const hull = counted.findLast(({ body }) => body.kind === 'hull-cell');
  const throwing = counted.findLast(({ body }) => body.kind === 'throwing-power');
  if (hull === undefined && throwing === undefined) return null;
  const nowMs = serverNowMs.value;
  return (
    <section aria-labelledby="panels">
      <h2 id="panels">Test panels</h2>
      {hull?.body.kind === 'hull-cell' && (
        <>
          <h3>Hull cell, {timeWords(hull.atMs, nowMs)}</h3>
          <HullPanel panel={hull.body} profile={props.profile} />
        </>
      )}
      {throwing?.body.kind === 'throwing-power' && (
        <p>
          {careWords(throwing.body, units.value)} <span class="hint">{timeWords(throwing.atMs, nowMs)}</span>
        </p>
      )}
    </section>
  );
}
