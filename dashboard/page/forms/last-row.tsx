/* The last row of a form that opens in a list: the button that sends it, and the one that leaves everything as it was. */

export function LastRow(props: { send: string; isDull: boolean; onLeave: () => void }) {
  return (
    <div class="row">
      <button type="submit" class="plain" disabled={props.isDull}>
        {props.send}
      </button>
      <button type="button" class="quiet" onClick={props.onLeave}>
        Leave it
      </button>
    </div>
  );
}
