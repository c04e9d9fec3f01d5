/* When something was so: a day and a time, or nothing for just now. Used by the forms of the ledger and of the logbook. */

export function WhenField(props: { typed: string; change: (typed: string) => void }) {
  return (
    <label class="field">
      <span>
        When <span class="unit">empty: just now</span>
      </span>
      <input type="datetime-local" value={props.typed} onInput={(event) => props.change(event.currentTarget.value)} />
    </label>
  );
}

/** As a request tells it: nothing where nothing was typed. */
export function whenAsked(typed: string): { readonly atMs?: number } {
  return typed === '' ? {} : { atMs: new Date(typed).getTime() };
}
