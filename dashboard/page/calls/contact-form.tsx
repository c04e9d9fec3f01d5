/* A person to call: name, hours, and what besides alarms is wanted. Used for a new one and for changing one. */
import { useState } from 'preact/hooks';
import type { ContactRequest, ContactView, Refusal } from '@bathkeeper/shared-core/messages';
import { LastRow } from '../forms/last-row.js';
import { Tick } from '../forms/tick.js';
import { TimeField } from '../forms/time-field.js';
import { RefusalWords } from '../screens/refusal.js';
import type { Answer } from '../state/api.js';
import { contactRequest, contactTyped, type ContactTyped, emptyContact } from './contact-request.js';

export function ContactForm(props: {
  contact?: ContactView;
  place: number;
  send: (request: ContactRequest) => Promise<Answer<unknown>>;
  onDone: () => void;
  onLeave: () => void;
}) {
  const [typed, setTyped] = useState<ContactTyped>(props.contact ? contactTyped(props.contact) : emptyContact);
  const [isTold, setTold] = useState(false);
  const [refusal, setRefusal] = useState<Refusal | null>(null);
  const [isBusy, setBusy] = useState(false);
  const reading = contactRequest(typed, props.place);
  const problems = isTold && 'problems' in reading ? reading.problems : {};
  const change = (part: Partial<ContactTyped>): void => setTyped((before) => ({ ...before, ...part }));
  const save = async (event: Event): Promise<void> => {
    event.preventDefault();
    setTold(true);
    if ('problems' in reading) return;
    setBusy(true);
    const answer = await props.send(reading.request);
    setBusy(false);
    setRefusal(answer.ok ? null : answer.refusal);
    if (answer.ok) props.onDone();
  };
  const tick = (key: 'wantsGoodNews' | 'wantsMorningSummary' | 'wantsLowPriority', words: string) => (
    <Tick words={words} isTicked={typed[key]} onChange={(isTicked) => change({ [key]: isTicked })} />
  );
  return (
    <form
      class="contact-form"
      noValidate
      aria-label={props.contact ? `Change ${props.contact.name}` : 'A new person'}
      onSubmit={(event) => void save(event)}
    >
      <label>
        Name
        <input
          type="text"
          autocomplete="off"
          maxLength={60}
          value={typed.name}
          aria-invalid={problems.name !== undefined}
          aria-describedby="contact-name-problem"
          onInput={(event) => change({ name: event.currentTarget.value })}
        />
        <span id="contact-name-problem" role="alert" class="field-problem">
          {problems.name}
        </span>
      </label>
      <fieldset>
        <legend>When</legend>
        <label class="choice">
          <input type="radio" name="hours" checked={typed.isAtAnyHour} onChange={() => change({ isAtAnyHour: true })} />
          at any hour
        </label>
        <label class="choice">
          <input
            type="radio"
            name="hours"
            checked={!typed.isAtAnyHour}
            onChange={() => change({ isAtAnyHour: false })}
          />
          only within these hours
        </label>
        {!typed.isAtAnyHour && (
          <div class="hours">
            {(['from', 'to'] as const).map((end) => (
              <TimeField
                key={end}
                words={end === 'from' ? 'From' : 'To'}
                typed={typed[end]}
                isInvalid={problems.hours !== undefined}
                problemId="contact-hours-problem"
                onTyped={(text) => change({ [end]: text })}
              />
            ))}
          </div>
        )}
        <span id="contact-hours-problem" role="alert" class="field-problem">
          {problems.hours}
        </span>
      </fieldset>
      <fieldset>
        <legend>Besides alarms</legend>
        {tick('wantsGoodNews', 'good news: the run is finished, with charge, thickness and time')}
        {tick('wantsMorningSummary', 'a summary of the night, each morning')}
        {tick('wantsLowPriority', 'alarms of low priority too, once')}
      </fieldset>
      <LastRow send={props.contact ? 'Save' : 'Add'} isDull={isBusy} onLeave={props.onLeave} />
      <RefusalWords refusal={refusal} />
    </form>
  );
}
