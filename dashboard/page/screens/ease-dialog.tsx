/*
 * Asks to how many amperes the current is to be eased: anything between the keep-alive and what is asked now. It sends nothing itself, and
 * what it offers can only lower; a press of start at the bath lifts it again.
 */
import { useEffect, useRef, useState } from 'preact/hooks';
import { easedAmps } from '../words/asking.js';
import { ampsWords } from '../words/numbers.js';

export function EaseDialog(props: {
  within: { readonly leastAmps: number; readonly mostAmps: number };
  isSending: boolean;
  onYes: (toAmps: number) => void;
  onNo: () => void;
}) {
  const { leastAmps, mostAmps } = props.within;
  const dialog = useRef<HTMLDialogElement>(null);
  const [typed, setTyped] = useState(() => Math.max(leastAmps, mostAmps / 2).toFixed(1));
  const [isTold, setTold] = useState(false);
  useEffect(() => {
    dialog.current?.showModal();
  }, []);
  const wanted = easedAmps(typed, props.within);
  const problem = isTold ? wanted.problem : undefined;
  return (
    <dialog ref={dialog} aria-labelledby="ease-title" onClose={props.onNo}>
      <form
        novalidate
        onSubmit={(event) => {
          event.preventDefault();
          if (wanted.problem === undefined) props.onYes(wanted.amps);
          else setTold(true);
        }}
      >
        <h2 id="ease-title">Ease the current?</h2>
        <p>
          It stays at or below this for the rest of the run, and the run takes longer. While something reduces the
          current, only that share of it flows. Nobody can raise it again from here: a press of start at the bath does,
          and the current climbs as in the ramp.
        </p>
        <label>
          At most, in amperes{' '}
          <span class="unit">
            {ampsWords(leastAmps)} to {ampsWords(mostAmps)}
          </span>
          <input
            type="text"
            inputMode="decimal"
            autocomplete="off"
            value={typed}
            aria-invalid={problem !== undefined}
            aria-describedby="ease-problem"
            onInput={(event) => setTyped(event.currentTarget.value)}
          />
          <span id="ease-problem" role="alert" class="field-problem">
            {problem}
          </span>
        </label>
        <div class="two-buttons">
          <button type="submit" class="plain" disabled={props.isSending}>
            {wanted.problem === undefined ? `Ease to ${ampsWords(wanted.amps)}` : 'Ease'}
          </button>
          <button type="button" class="quiet" onClick={props.onNo}>
            Leave it running
          </button>
        </div>
      </form>
    </dialog>
  );
}
