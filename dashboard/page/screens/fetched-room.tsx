/* The door of a room that is fetched when somebody comes, so that the first screen of a night stays light. Used by the rooms Part and Plan. */
import { useEffect, useState } from 'preact/hooks';

type Room = () => preact.JSX.Element;

/** A screen that fetches its room once, and says so when it does not come. */
export function fetchedRoom(fetchRoom: () => Promise<Room>): Room {
  let room: Room | undefined;
  return function FetchedRoom() {
    const [state, setState] = useState<'coming' | 'there' | 'failed'>(room === undefined ? 'coming' : 'there');
    useEffect(() => {
      if (state !== 'coming') return;
      fetchRoom().then(
        (fetched) => {
          room = fetched;
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
    return <NotFetched />;
  };
}

function NotFetched() {
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
