/* Undoes something that was written down: why, and by whom. Used by the books that are only added to, the ledger and the records of runs. */
import { RefusalWords } from '../screens/refusal.js';
import type { Answer } from '../state/api.js';
import { AsLeft } from './as-left.js';
import { useDraft } from './draft.js';
import { LastRow } from './last-row.js';
import { useSending } from './sending.js';
import { WhoField } from './who-field.js';
import { WhyField } from './why-field.js';

export function UndoForm(props: {
  /** Of the entry that is undone. */
  draftName: string;
  /** What undoing does, and what it does not. */
  hint: string;
  send: (request: { readonly who: string; readonly reason: string }) => Promise<Answer<unknown>>;
  leave: () => void;
  done: () => void;
}) {
  const draft = useDraft(props.draftName, { reason: '' });
  const { reason } = draft.typed;
  const sending = useSending(draft);
  const leave = (): void => {
    draft.clear();
    props.leave();
  };
  const send = async (event: Event): Promise<void> => {
    event.preventDefault();
    const answer = await sending.send(reason.trim() || undefined, (why, by) => props.send({ who: by, reason: why }));
    if (answer?.ok === true) props.done();
  };
  return (
    <form class="narrow-form" noValidate onSubmit={(event) => void send(event)} aria-label="Undo this entry">
      <p class="hint">{props.hint}</p>
      <AsLeft draft={draft} />
      <WhyField reason={reason} isAsked={sending.isAsked} change={(words) => draft.change({ reason: words })} />
      <WhoField isAsked={sending.isAsked} />
      <LastRow send="Undo it" isDull={sending.isUnderWay} onLeave={leave} />
      <RefusalWords refusal={sending.refusal} />
    </form>
  );
}
