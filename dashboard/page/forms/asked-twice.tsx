/*
 * A button that asks a second time, in its own place, before something is lost that was typed or proved. Used where a person, a way to reach
 * one, or the heartbeat is removed. The focus goes to the safe choice, Escape leaves, and the focus then returns to the button.
 */
import { useEffect, useId, useRef, useState } from 'preact/hooks';

export function AskedTwice(props: {
  /** On the button. */
  words: string;
  /** Of the button, for whoever does not see what it stands beside. */
  label: string;
  question: string;
  /** On the button that does it. */
  yes: string;
  isBusy?: boolean;
  act: () => void;
}) {
  const [isAsking, setAsking] = useState(false);
  const wasAsking = useRef(false);
  const button = useRef<HTMLButtonElement>(null);
  const safe = useRef<HTMLButtonElement>(null);
  const questionId = useId();
  useEffect(() => {
    if (isAsking) safe.current?.focus();
    else if (wasAsking.current) button.current?.focus();
    wasAsking.current = isAsking;
  }, [isAsking]);
  const leave = (): void => setAsking(false);
  if (!isAsking)
    return (
      <button
        ref={button}
        type="button"
        class="quiet"
        disabled={props.isBusy}
        aria-label={props.label}
        onClick={() => setAsking(true)}
      >
        {props.words}
      </button>
    );
  return (
    <div
      class="sure"
      role="group"
      aria-labelledby={questionId}
      onKeyDown={(event) => {
        if (event.key === 'Escape') leave();
      }}
    >
      <p id={questionId}>{props.question}</p>
      <div class="row">
        <button
          type="button"
          class="plain"
          disabled={props.isBusy}
          onClick={() => {
            // Whatever becomes of it, a refusal stands beside the button as it was.
            leave();
            props.act();
          }}
        >
          {props.yes}
        </button>
        <button ref={safe} type="button" class="quiet" aria-describedby={questionId} onClick={leave}>
          Leave it
        </button>
      </div>
    </div>
  );
}
