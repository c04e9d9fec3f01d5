/*
 * The two plain buttons, and under them the easing. Each asks once, sends, and says what became of it, in the dashboard's words.
 * Hold and stop can only lower risk, so they stay offered when nobody knows the state. None is an emergency stop.
 */
import { useEffect, useRef, useState } from 'preact/hooks';
import type { CommandRequest, CommandView, ControllerView, Refusal } from '@bathkeeper/shared-core/messages';
import { sendCommand } from '../state/api.js';
import { commandWords, easing, nothingToDo, question, type Question } from '../words/asking.js';
import { EaseDialog } from './ease-dialog.js';
import { RefusalWords } from './refusal.js';

type Kind = 'hold' | 'stop';

export function HoldAndStop(props: { controller: ControllerView }) {
  const { controller } = props;
  const [asking, setAsking] = useState<{ kind: Kind; words: Question } | null>(null);
  const [isEasing, setEasing] = useState(false);
  const [isSending, setSending] = useState(false);
  const [sent, setSent] = useState<CommandView | null>(null);
  const [refusal, setRefusal] = useState<Refusal | null>(null);
  // The dashboard lists the commands of the last minute: its word on ours is newer than the one we kept.
  const newest = controller.commands.find((c) => c.kind === 'hold' || c.kind === 'stop' || c.kind === 'lower');
  const told = newest && (sent === null || newest.commandId >= sent.commandId) ? newest : sent;
  useEffect(() => {
    if (told !== null && told !== sent) setSent(told);
  }, [told, sent]);

  const within = easing(controller);
  const act = async (request: CommandRequest): Promise<void> => {
    setSending(true);
    const answer = await sendCommand(controller.controllerId, request);
    setSending(false);
    setAsking(null);
    setEasing(false);
    setRefusal(answer.ok ? null : answer.refusal);
    if (answer.ok) setSent(answer.value);
  };
  return (
    <div class="hold-and-stop">
      <div class="two-buttons">
        {(['hold', 'stop'] as const).map((kind) => {
          const words = question(kind, controller);
          return (
            <button
              key={kind}
              type="button"
              class="plain"
              disabled={words === null}
              title={words === null ? nothingToDo(kind, controller) : undefined}
              onClick={() => {
                if (words) setAsking({ kind, words });
              }}
            >
              {kind === 'hold' ? 'Hold' : 'Stop'}
            </button>
          );
        })}
      </div>
      {within && (
        <button type="button" class="quiet ease" onClick={() => setEasing(true)}>
          Ease the current…
        </button>
      )}
      <p role="status" class="said" data-state={told?.state}>
        {told ? commandWords(told) : ''}
      </p>
      <RefusalWords refusal={refusal} />
      {isEasing && within && (
        <EaseDialog
          within={within}
          isSending={isSending}
          onYes={(toAmps) => void act({ kind: 'lower', toAmps })}
          onNo={() => setEasing(false)}
        />
      )}
      {asking && (
        <Confirmation
          words={asking.words}
          isSending={isSending}
          onYes={() => void act({ kind: asking.kind })}
          onNo={() => setAsking(null)}
        />
      )}
    </div>
  );
}

function Confirmation(props: { words: Question; isSending: boolean; onYes: () => void; onNo: () => void }) {
  const dialog = useRef<HTMLDialogElement>(null);
  useEffect(() => {
    dialog.current?.showModal();
  }, []);
  return (
    <dialog ref={dialog} aria-labelledby="question-title" onClose={props.onNo}>
      <h2 id="question-title">{props.words.title}</h2>
      <p>{props.words.consequence}</p>
      <div class="two-buttons">
        <button type="button" class="plain" disabled={props.isSending} onClick={props.onYes}>
          {props.words.yes}
        </button>
        <button type="button" class="quiet" onClick={props.onNo}>
          {props.words.no}
        </button>
      </div>
    </dialog>
  );
}
