/* Takes a run out of the logbook, after asking, with the name of who did it. Shown at the end of a run's room. */
import { useState } from 'preact/hooks';
import type { Refusal } from '@bathkeeper/shared-core/messages';
import type { RunRecord } from '@bathkeeper/shared-core/trade';
import { LastRow } from '../forms/last-row.js';
import { WhoField } from '../forms/who-field.js';
import { RefusalWords } from '../screens/refusal.js';
import { deleteRun } from '../state/logbook-api.js';
import { LOGBOOK_ADDRESS } from '../state/route.js';
import { who } from '../state/who.js';

export function DeleteRun({ record }: { record: RunRecord }) {
  const [isOpen, setOpen] = useState(false);
  const [isAsked, setAsked] = useState(false);
  const [refusal, setRefusal] = useState<Refusal | null>(null);
  if (record.goesOn) return null;
  const send = async (event: Event): Promise<void> => {
    event.preventDefault();
    setAsked(true);
    if (who.value.trim() === '') return;
    const answer = await deleteRun(record, who.value.trim());
    setRefusal(answer.ok ? null : answer.refusal);
    if (answer.ok) location.hash = LOGBOOK_ADDRESS;
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
      <WhoField isAsked={isAsked} />
      <LastRow send="Delete it" isDull={false} onLeave={() => setOpen(false)} />
      <RefusalWords refusal={refusal} />
    </form>
  );
}
