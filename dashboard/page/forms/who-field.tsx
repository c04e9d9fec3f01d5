/* Who writes something down: a name, kept on this device for the next time. Used by the forms of the ledger and of the logbook, and beside alarms. */
import { PERSON_NAME_CHARACTERS_MAX } from '@bathkeeper/shared-core/watch';
import { who } from '../state/who.js';

/** `remark`: what becomes of the name as it is typed now, where that wants to be said. */
export function WhoField(props: { isAsked: boolean; remark?: string | undefined }) {
  const isMissing = props.isAsked && who.value.trim() === '';
  return (
    <label class="field">
      <span>Your name</span>
      <input
        type="text"
        autocomplete="name"
        maxLength={PERSON_NAME_CHARACTERS_MAX}
        value={who.value}
        aria-invalid={isMissing ? 'true' : undefined}
        onInput={(event) => {
          who.value = event.currentTarget.value;
        }}
      />
      {isMissing && <span class="field-problem">Who did it? It stands with the entry.</span>}
      {props.remark !== undefined && <span class="field-problem">{props.remark}</span>}
    </label>
  );
}
