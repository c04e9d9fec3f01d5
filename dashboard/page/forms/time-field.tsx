/*
 * A time of the day in 24 hours, whatever the language of the browser: a field of type "time" would ask for a.m. and p.m. in some. Used by the
 * hours of a person and by the morning summary. What was typed without a colon is written with one when the field is left.
 */
import { minuteAsTime, minuteOfDay } from '../words/call-words.js';

export function TimeField(props: {
  words: string;
  hint?: string;
  typed: string;
  isInvalid?: boolean;
  /** Id of the words that say what is wrong with it. */
  problemId?: string;
  onTyped: (text: string) => void;
}) {
  return (
    <label>
      {props.words} {props.hint !== undefined && <span class="unit">{props.hint}</span>}
      <input
        type="text"
        inputMode="numeric"
        autocomplete="off"
        maxLength={5}
        placeholder="07:00"
        value={props.typed}
        aria-invalid={props.isInvalid}
        aria-describedby={props.problemId}
        onInput={(event) => props.onTyped(event.currentTarget.value)}
        onBlur={() => {
          const minute = minuteOfDay(props.typed);
          if (minute !== undefined) props.onTyped(minuteAsTime(minute));
        }}
      />
    </label>
  );
}
