/* Who writes something down: a name, kept on this device for the next time. Used by the forms of the ledger and of the logbook. */
import { who } from '../state/who.js';

export function WhoField(props: { isAsked: boolean }) {
  const isMissing = props.isAsked && who.value.trim() === '';
  return (
    <label class="field">
      <span>Your name</span>
      <input
        type="text"
        autocomplete="name"
        maxLength={60}
        value={who.value}
        aria-invalid={isMissing ? 'true' : undefined}
        onInput={(event) => {
          who.value = event.currentTarget.value;
        }}
      />
      {isMissing && <span class="field-problem">Who did it? It stands with the entry.</span>}
    </label>
  );
}
