/* The door of the part's room: fetches the room when somebody comes, so that the first screen of a night stays light. */
import { useEffect, useState } from 'preact/hooks';

type Room = () => preact.JSX.Element;
let room: Room | undefined;

export function PartScreen() {
  const [state, setState] = useState<'coming' | 'there' | 'failed'>(room === undefined ? 'coming' : 'there');
  useEffect(() => {
    if (state !== 'coming') return;
    import('./room.js').then(
      ({ PartRoom }) => {
        room = PartRoom;
        setState('there');
      },
      () => setState('failed'),
    );
  }, [state]);
  if (state === 'there' && room !== undefined) {
    const Room = room;
    return <Room />;
  }
  if (state === 'coming') return <p class="waiting">Opening…</p>;
  return (
    <main class="leaf">
      <h1>This part of the page did not come</h1>
      <p>
        The dashboard cannot be reached, or it has a newer page by now. Check that this device is in its network, then
        load the page anew.
      </p>
      <button type="button" class="plain" onClick={() => location.reload()}>
        Load the page anew
      </button>
    </main>
  );
}
