/* What the bath under this controller wants, from its ledger: words that wake nobody. On the bath's screen; where nothing is wanted, nothing stands. */
import type { LedgerReminder } from '@bathkeeper/shared-core/trade';
import { ask } from '../state/api.js';
import { useAsked } from '../state/asked.js';
import { ledgerAddress, STOCK_ADDRESS } from '../state/route.js';
import { told } from '../state/units.js';

/** `run`: its number, so that it is asked anew with each. */
export function LedgerReminders(props: { controllerId: string; run: number | null }) {
  const { value: reminders } = useAsked(
    () => ask<LedgerReminder[]>('GET', `/api/controllers/${encodeURIComponent(props.controllerId)}/ledger-reminders`),
    [props.controllerId, props.run],
  );
  return (
    <>
      {reminders?.map(({ bathId, words }) => (
        <p key={words}>
          {told(words)}{' '}
          <a class="target" href={bathId === null ? STOCK_ADDRESS : ledgerAddress(bathId)}>
            {bathId === null ? 'To the stock' : 'To its ledger'}
          </a>
        </p>
      ))}
    </>
  );
}
