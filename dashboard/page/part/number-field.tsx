/* A number that is typed, with its name and unit, and a word under it when it cannot be taken. Used by the part's fields. */
import { typedNumber } from '../recipe/request.js';

export function NumberField(props: {
  id: string;
  words: string;
  unit: string;
  typed: string;
  /** Why what is typed cannot be taken; undefined when it can. */
  problem: string | undefined;
  /** What stands in the empty field. */
  hint?: string | undefined;
  /** The text, and its number where it is one. */
  change: (text: string, value: number | undefined) => void;
  leave?: () => void;
}) {
  const { id, typed, problem } = props;
  return (
    <label class="field">
      <span>
        {props.words} <span class="unit">{props.unit}</span>
      </span>
      <input
        type="text"
        inputMode="decimal"
        autocomplete="off"
        maxLength={12}
        value={typed}
        placeholder={props.hint}
        aria-invalid={problem === undefined ? undefined : 'true'}
        aria-describedby={problem === undefined ? undefined : `${id}-problem`}
        onInput={(event) => props.change(event.currentTarget.value, typedNumber(event.currentTarget.value))}
        onBlur={props.leave}
      />
      {problem !== undefined && (
        <span class="field-problem" id={`${id}-problem`}>
          {problem}
        </span>
      )}
    </label>
  );
}
