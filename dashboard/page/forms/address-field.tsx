/* The address of a server that this dashboard asks or tells, and the tick without which it may not be in the house. Used by webhook and heartbeat. */
import { Tick } from './tick.js';

export function AddressField(props: { words: string; hint?: string; typed: string; onTyped: (text: string) => void }) {
  return (
    <label>
      {props.words} {props.hint !== undefined && <span class="unit">{props.hint}</span>}
      <input
        type="url"
        inputMode="url"
        autocomplete="off"
        placeholder="https://…"
        value={props.typed}
        onInput={(event) => props.onTyped(event.currentTarget.value)}
      />
    </label>
  );
}

export function PrivateAddressTick(props: { isAllowed: boolean; onChange: (isAllowed: boolean) => void }) {
  return (
    <Tick
      words="The address may be on this computer or in the local network"
      isTicked={props.isAllowed}
      onChange={props.onChange}
    />
  );
}
