/*
 * The rehearsal: the night of the plan on the page, played on a virtual bath with whatever somebody wants to see go wrong. A screen of its own, reached from the
 * plan. No bath is touched.
 */
import { useEffect, useState } from 'preact/hooks';
import type { Refusal } from '@bathkeeper/shared-core/messages';
import type { RehearsalDeskView, RehearsalView } from '@bathkeeper/shared-core/trade';
import { requestHere } from '../plan/kept-plan.js';
import { RefusalWords } from '../screens/refusal.js';
import type { Answer } from '../state/api.js';
import { useAsked } from '../state/asked.js';
import { askRehearsal, cancelRehearsal, startRehearsal } from '../state/plan-api.js';
import { PLAN_ADDRESS } from '../state/route.js';
import { snapshot } from '../state/state.js';
import { percentWords } from '../words/numbers.js';
import { RehearsalFields } from './fields.js';
import { RehearsalOutcome } from './outcome.js';

const AGAIN_AFTER_MS = 700;

export function RehearsalRoom() {
  const { value: desk, refusal, take } = useAsked(askRehearsal, []);
  const [actRefusal, setActRefusal] = useState<Refusal | null>(null);
  const newest = desk?.newest ?? null;
  const isRunning = newest?.state === 'running';
  useEffect(() => {
    if (!isRunning) return;
    let timer: ReturnType<typeof setTimeout> | undefined;
    let isLeft = false;
    // Each answer, and each that did not come, is followed by another question.
    const askLater = (): void => {
      timer = setTimeout(() => {
        void askRehearsal().then((answer) => {
          if (isLeft) return;
          if (answer.ok) take(answer.value);
          setActRefusal(answer.ok ? null : answer.refusal);
          askLater();
        });
      }, AGAIN_AFTER_MS);
    };
    askLater();
    return () => {
      isLeft = true;
      clearTimeout(timer);
    };
  }, [isRunning]);
  const act = async (asked: Promise<Answer<RehearsalDeskView>>): Promise<void> => {
    const answer = await asked;
    setActRefusal(answer.ok ? null : answer.refusal);
    if (answer.ok) take(answer.value);
  };
  const request = requestHere.value;
  return (
    <main class="rehearsal">
      <h1>Rehearse the night</h1>
      <p>
        A virtual bath plays the plan with the very program of the controller, a night in a few seconds. Nobody is there
        to press a button, and no bath is touched.
      </p>
      {desk === null && refusal === null && <p class="hint">Looking…</p>}
      {request === null && (
        <p>
          There is no plan on this page. <a href={PLAN_ADDRESS}>Make or open one</a>, then come back.
        </p>
      )}
      {desk !== null && request !== null && (
        <RehearsalFields
          request={request}
          choices={desk.choices}
          controllers={snapshot.value?.controllers ?? []}
          isRunning={isRunning}
          start={(asked) => void act(startRehearsal(asked))}
        />
      )}
      <RefusalWords refusal={actRefusal ?? refusal} />
      {newest !== null && <Newest newest={newest} cancel={() => void act(cancelRehearsal())} />}
      <p>
        <a class="target" href={PLAN_ADDRESS}>
          Back to the plan
        </a>
      </p>
    </main>
  );
}

function Newest(props: { newest: RehearsalView; cancel: () => void }) {
  const { newest } = props;
  switch (newest.state) {
    case 'running':
      return (
        <section aria-labelledby="rehearsal-now">
          <h2 id="rehearsal-now">Playing: {newest.parts}</h2>
          <p>
            <progress value={newest.share} max={1} aria-label="How much of the night is played" />{' '}
            {percentWords(newest.share)}
          </p>
          <button type="button" class="quiet" onClick={props.cancel}>
            Cancel the rehearsal
          </button>
        </section>
      );
    case 'done':
      return newest.result && <RehearsalOutcome parts={newest.parts} result={newest.result} />;
    case 'cancelled':
      return <p role="status">The rehearsal was cancelled.</p>;
    case 'failed':
      return (
        <p role="alert" class="caution">
          {newest.problem}
        </p>
      );
  }
}
