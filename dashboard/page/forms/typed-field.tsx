/* One field that is typed: its name and unit above, what is wrong with it below. Used by the forms of part, plan, recipe and rehearsal. Holds nothing. */

export function TypedField(props: {
  id: string;
  words: string;
  unit?: string | undefined;
  typed: string;
  /** Why what is typed cannot be taken; undefined when it can, or when nobody has typed yet. */
  problem: string | undefined;
  /** What stands in the empty field. */
  hint?: string | undefined;
  /** A number unless it says otherwise; one that may lie below zero needs a keyboard that has a minus. */
  kind?: 'number' | 'signed' | 'name';
  change: (text: string) => void;
  leave?: () => void;
}) {
  const { id, unit, problem, kind = 'number' } = props;
  const problemId = problem === undefined ? undefined : `${id}-problem`;
  return (
    <label class="field">
      <span>
        {props.words}
        {unit !== undefined && unit !== '' && <span class="unit"> {unit}</span>}
      </span>
      <input
        type="text"
        inputMode={kind === 'number' ? 'decimal' : 'text'}
        autocomplete="off"
        maxLength={kind === 'name' ? 80 : 12}
        value={props.typed}
        placeholder={props.hint}
        aria-invalid={problem === undefined ? undefined : 'true'}
        aria-describedby={problemId}
        onInput={(event) => props.change(event.currentTarget.value)}
        onBlur={props.leave}
      />
      {problem !== undefined && (
        <span class="field-problem" id={problemId}>
          {problem}
        </span>
      )}
    </label>
  );
}
