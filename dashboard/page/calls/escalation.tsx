/* When an unacknowledged alarm is called again, and when the next person; when the morning summary goes out. Part of the room of calls. */
import { useState } from 'preact/hooks';
import type { EscalationView, Refusal } from '@bathkeeper/shared-core/messages';
import { TimeField } from '../forms/time-field.js';
import { RefusalWords } from '../screens/refusal.js';
import { typedNumber } from '../forms/typed-number.js';
import { askEscalation, setEscalation } from '../state/api.js';
import { useAsked } from '../state/asked.js';
import { minuteAsTime, minuteOfDay } from '../words/call-words.js';

export function Escalation() {
  const { value, refusal, take } = useAsked(askEscalation, []);
  return (
    <section aria-labelledby="escalation-title">
      <h2 id="escalation-title">When nobody acknowledges</h2>
      {value === null ? (
        refusal === null && <p class="hint">Fetching…</p>
      ) : (
        <EscalationForm key={JSON.stringify(value)} now={value} onSaved={take} />
      )}
      <RefusalWords refusal={refusal} />
    </section>
  );
}

/** null: none goes out; undefined: not a time of the day. */
const readMorning = (typed: string): number | null | undefined => (typed.trim() === '' ? null : minuteOfDay(typed));

function EscalationForm(props: { now: EscalationView; onSaved: (saved: EscalationView) => void }) {
  const { now } = props;
  const [again, setAgain] = useState(String(now.againAfterMinutes));
  const [next, setNext] = useState(String(now.nextPersonAfterMinutes));
  const [morning, setMorning] = useState(
    typeof now.morningSummaryAtMinute === 'number' ? minuteAsTime(now.morningSummaryAtMinute) : '',
  );
  const [timeZone, setTimeZone] = useState(now.timeZone ?? '');
  const [problem, setProblem] = useState<string | undefined>();
  const [refusal, setRefusal] = useState<Refusal | null>(null);
  const [isBusy, setBusy] = useState(false);
  const save = async (event: Event): Promise<void> => {
    event.preventDefault();
    const againAfterMinutes = typedNumber(again);
    const nextPersonAfterMinutes = typedNumber(next);
    if (!againAfterMinutes || !nextPersonAfterMinutes) {
      setProblem(`Type two numbers of minutes above zero, such as 3 and 10; got “${again}” and “${next}”.`);
      return;
    }
    const morningSummaryAtMinute = readMorning(morning);
    if (morningSummaryAtMinute === undefined) {
      setProblem(`The morning summary: type a time of the day, such as 07:00, or nothing; got “${morning}”.`);
      return;
    }
    setProblem(undefined);
    setBusy(true);
    const answer = await setEscalation({
      againAfterMinutes,
      nextPersonAfterMinutes,
      morningSummaryAtMinute,
      ...(timeZone.trim() === '' ? {} : { timeZone: timeZone.trim() }),
    });
    setBusy(false);
    setRefusal(answer.ok ? null : answer.refusal);
    if (answer.ok) props.onSaved(answer.value);
  };
  const minutes = (words: string, typed: string, set: (text: string) => void) => (
    <label>
      {words} <span class="unit">minutes</span>
      <input
        type="text"
        inputMode="decimal"
        autocomplete="off"
        maxLength={6}
        value={typed}
        aria-describedby="escalation-problem"
        onInput={(event) => set(event.currentTarget.value)}
      />
    </label>
  );
  return (
    <form noValidate aria-label="When nobody acknowledges" onSubmit={(event) => void save(event)}>
      {minutes('Call the same person again after', again, setAgain)}
      {minutes('Call the next person too after', next, setNext)}
      <TimeField
        words="The morning summary goes out at"
        hint="empty: none goes out"
        typed={morning}
        isInvalid={problem !== undefined && readMorning(morning) === undefined}
        problemId="escalation-problem"
        onTyped={setMorning}
      />
      <label>
        Time zone of the house <span class="unit">hours of people count in it, such as Europe/Paris</span>
        <input
          type="text"
          autocomplete="off"
          autocapitalize="none"
          spellcheck={false}
          value={timeZone}
          onInput={(event) => setTimeZone(event.currentTarget.value)}
        />
      </label>
      <p id="escalation-problem" role="alert" class="field-problem">
        {problem}
      </p>
      <button type="submit" class="plain" disabled={isBusy}>
        Save
      </button>
      <RefusalWords refusal={refusal} />
    </form>
  );
}
