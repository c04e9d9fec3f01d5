/* Words of several lines, as a person writes them: kept and shown as text, whatever stands in them. Used by the forms of the ledger and of the logbook. */

export function NoteField(props: {
  words: string;
  /** Beside the name of the field. */
  hint?: string | undefined;
  /** Characters. */
  most: number;
  typed: string;
  /** Said when nothing was typed where something must be. */
  problem?: string | undefined;
  change: (text: string) => void;
}) {
  return (
    <label class="field">
      <span>
        {props.words} {props.hint !== undefined && <span class="unit">{props.hint}</span>}
      </span>
      <textarea
        rows={3}
        maxLength={props.most}
        value={props.typed}
        aria-invalid={props.problem === undefined ? undefined : 'true'}
        onInput={(event) => props.change(event.currentTarget.value)}
      />
      {props.problem !== undefined && <span class="field-problem">{props.problem}</span>}
    </label>
  );
}
