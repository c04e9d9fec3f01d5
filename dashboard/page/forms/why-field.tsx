/* Why something that was written down is undone or corrected. Used by the forms that do it. */

export function WhyField(props: { reason: string; isAsked: boolean; change: (reason: string) => void }) {
  const isMissing = props.isAsked && props.reason.trim() === '';
  return (
    <label class="field">
      <span>Why</span>
      <input
        type="text"
        autocomplete="off"
        maxLength={500}
        value={props.reason}
        aria-invalid={isMissing ? 'true' : undefined}
        onInput={(event) => props.change(event.currentTarget.value)}
      />
      {isMissing && <span class="field-problem">Say in a few words why.</span>}
    </label>
  );
}
