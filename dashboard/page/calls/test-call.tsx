/*
 * A test call to one person: starts it, follows it until it is confirmed, ends it early. Used in the list of contacts and in the
 * leave-alone check. The dashboard rings and repeats; this only asks how it stands.
 */
import { useEffect, useState } from 'preact/hooks';
import type { Refusal, TestCallView } from '@bathkeeper/shared-core/messages';
import { RefusalWords } from '../screens/refusal.js';
import { askTestCall, startTestCall, stopTestCall } from '../state/api.js';
import { testCallState, testCallWords } from '../words/call-words.js';

const ASK_EVERY_MS = 1_000;

export function TestCall(props: { contactId: number; name: string; repeats: boolean; onConfirmed?: () => void }) {
  const [call, setCall] = useState<TestCallView | null>(null);
  const [refusal, setRefusal] = useState<Refusal | null>(null);
  const [isBusy, setBusy] = useState(false);
  const isWaiting = call !== null && testCallState(call) === 'waiting';
  const testCallId = call?.testCallId ?? null;
  useEffect(() => {
    if (testCallId === null || !isWaiting) return;
    let isCurrent = true;
    const timer = setInterval(() => {
      void askTestCall(testCallId).then((answer) => {
        if (!isCurrent) return;
        setRefusal(answer.ok ? null : answer.refusal);
        if (answer.ok) setCall(answer.value);
      });
    }, ASK_EVERY_MS);
    return () => {
      isCurrent = false;
      clearInterval(timer);
    };
  }, [testCallId, isWaiting]);
  const isConfirmed = call !== null && testCallState(call) === 'confirmed';
  useEffect(() => {
    if (isConfirmed) props.onConfirmed?.();
  }, [isConfirmed]);

  const act = async (asked: ReturnType<typeof startTestCall>): Promise<void> => {
    setBusy(true);
    const answer = await asked;
    setBusy(false);
    setRefusal(answer.ok ? null : answer.refusal);
    if (answer.ok) setCall(answer.value);
  };
  return (
    <div class="test-call">
      {isWaiting ? (
        <button
          type="button"
          class="quiet"
          disabled={isBusy}
          aria-label={`End the test call to ${props.name}`}
          onClick={() => void act(stopTestCall(call.testCallId))}
        >
          End the test call
        </button>
      ) : (
        <button
          type="button"
          class="plain"
          disabled={isBusy}
          aria-label={`Test call to ${props.name}`}
          onClick={() => void act(startTestCall(props.contactId, props.repeats))}
        >
          Test call
        </button>
      )}
      <p role="status" class="said" data-state={call === null ? undefined : testCallState(call)}>
        {call === null ? '' : testCallWords(call, props.repeats)}
      </p>
      <RefusalWords refusal={refusal} />
    </div>
  );
}
