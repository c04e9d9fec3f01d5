/* One field of the recipe form, its unit beside its name and what is wrong with it below. Holds nothing. */
import type { RecipeField } from './request.js';

export function TypedField(props: {
  name: RecipeField;
  label: string;
  unit?: string;
  hint?: string;
  typed: string;
  /** Undefined: nothing is wrong, or nobody has typed yet. */
  problem: string | undefined;
  onTyped: (text: string) => void;
}) {
  const { name, problem } = props;
  return (
    <label class="field">
      <span>
        {props.label}
        {props.unit !== undefined && <span class="unit"> {props.unit}</span>}
      </span>
      <input
        type="text"
        inputMode={name === 'partName' ? 'text' : 'decimal'}
        autocomplete="off"
        maxLength={name === 'partName' ? 80 : 12}
        value={props.typed}
        placeholder={props.hint}
        aria-invalid={problem ? 'true' : undefined}
        aria-describedby={problem ? `${name}-problem` : undefined}
        onInput={(event) => props.onTyped(event.currentTarget.value)}
      />
      {problem && (
        <span class="field-problem" id={`${name}-problem`}>
          {problem}
        </span>
      )}
    </label>
  );
}
