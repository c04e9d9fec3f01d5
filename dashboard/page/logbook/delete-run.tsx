/* Takes a run out of the logbook, after asking, with the name of who did it. Shown at the end of a run's room. */
import { useState } from 'preact/hooks';
import type { RunRecord } from '@bathkeeper/shared-core/trade';
import { LastRow } from '../forms/last-row.js';
import { useSending } from '../forms/sending.js';
import { WhoField } from '../forms/who-field.js';
import { RefusalWords } from '../screens/refusal.js';
import { deleteRun } from '../state/logbook-api.js';
import { LOGBOOK_ADDRESS } from '../state/route.js';

export function DeleteRun({ record }: { record: RunRecord }) {
  const [isOpen, setOpen] = useState(false);
  const sending = useSending();
  if (record.goesOn) return null;
  const send = async (event: Event): Promise<void> => {
    event.preventDefault();
    const answer = await sending.send(record, deleteRun);
    if (answer?.ok === true) location.hash = LOGBOOK_ADDRESS;
  };
  if (!isOpen)
    return (
      <p class="row">
        <button type="button" class="quiet" onClick={() => setOpen(true)}>
          Delete this run…
        </button>
      </p>
    );
  return (
    <form class="narrow-form sure" noValidate onSubmit={(event) => void send(event)} aria-label="Delete this run">
      <p>
        Delete it? It leaves the logbook, and can be brought back from there for 30 days. After that its notes,
        weighings and photographs are gone for ever; what the bath logged stays with the bath. Of an imported run
        everything goes.
      </p>
      <WhoField isAsked={sending.isAsked} />
      <LastRow send="Delete it" isDull={sending.isUnderWay} onLeave={() => setOpen(false)} />
      <RefusalWords refusal={sending.refusal} />
    </form>
  );
}
