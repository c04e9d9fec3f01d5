/* Undoes something that was written down: why, and by whom. Used by the books that are only added to, the ledger and the records of runs. */
import { useState } from 'preact/hooks';
import type { Refusal } from '@bathkeeper/shared-core/messages';
import { RefusalWords } from '../screens/refusal.js';
import type { Answer } from '../state/api.js';
import { who } from '../state/who.js';
import { LastRow } from './last-row.js';
import { WhoField } from './who-field.js';
import { WhyField } from './why-field.js';

export function UndoForm(props: {
  /** What undoing does, and what it does not. */
  hint: string;
  send: (request: { readonly who: string; readonly reason: string }) => Promise<Answer<unknown>>;
  leave: () => void;
  done: () => void;
}) {
  const [reason, setReason] = useState('');
  const [isAsked, setAsked] = useState(false);
  const [refusal, setRefusal] = useState<Refusal | null>(null);
  const send = async (event: Event): Promise<void> => {
    event.preventDefault();
    setAsked(true);
    if (reason.trim() === '' || who.value.trim() === '') return;
    const answer = await props.send({ who: who.value.trim(), reason: reason.trim() });
    setRefusal(answer.ok ? null : answer.refusal);
    if (answer.ok) props.done();
  };
  return (
    <form class="narrow-form" noValidate onSubmit={(event) => void send(event)} aria-label="Undo this entry">
      <p class="hint">{props.hint}</p>
      <WhyField reason={reason} isAsked={isAsked} change={setReason} />
      <WhoField isAsked={isAsked} />
      <LastRow send="Undo it" isDull={false} onLeave={props.leave} />
      <RefusalWords refusal={refusal} />
    </form>
  );
}
