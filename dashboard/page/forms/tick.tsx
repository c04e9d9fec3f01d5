/* A box to tick, its words beside it and part of its target. Used by every form that asks yes or no. */

export function Tick(props: { words: string; isTicked: boolean; onChange: (isTicked: boolean) => void }) {
  return (
    <label class="choice">
      <input
        type="checkbox"
        checked={props.isTicked}
        onChange={(event) => props.onChange(event.currentTarget.checked)}
      />
      {props.words}
    </label>
  );
}
