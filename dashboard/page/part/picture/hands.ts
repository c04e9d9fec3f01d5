/*
 * What hands do on the picture: one finger or the mouse turns it, two fingers bring it nearer, a press points; arrow keys, plus and minus.
 * A finger that goes up or down scrolls the page, as anywhere else: the picture must not be a trap on a phone.
 */

export interface Hands {
  /** Degrees around the upright axis, and from above. */
  turn(aroundDegrees: number, aboveDegrees: number): void;
  magnify(times: number): void;
  /** x from -1 (left) to 1, y from -1 (below) to 1. */
  press(x: number, y: number): void;
}

const DEGREES_A_PIXEL = 0.45;
const DEGREES_A_KEY = 10;
/** A press may tremble so far. */
const TREMBLE_PIXELS = 6;

/** Returns what takes the hands off again. */
export function handsOn(element: HTMLElement, hands: Hands): () => void {
  const down = new Map<number, { x: number; y: number }>();
  let moved = 0;
  let wasTwo = false;
  const distance = (): number => {
    const [one, other] = [...down.values()];
    return one && other ? Math.hypot(one.x - other.x, one.y - other.y) : 0;
  };
  const listening = new AbortController();
  const on = <Name extends keyof HTMLElementEventMap>(
    name: Name,
    heard: (event: HTMLElementEventMap[Name]) => void,
  ): void => {
    element.addEventListener(name, heard, { signal: listening.signal, passive: false });
  };
  on('pointerdown', (event) => {
    element.setPointerCapture(event.pointerId);
    if (down.size === 0) {
      moved = 0;
      wasTwo = false;
    }
    down.set(event.pointerId, { x: event.clientX, y: event.clientY });
    wasTwo ||= down.size > 1;
  });
  on('pointermove', (event) => {
    const before = down.get(event.pointerId);
    if (before === undefined) return;
    const apart = distance();
    const here = { x: event.clientX, y: event.clientY };
    down.set(event.pointerId, here);
    moved += Math.hypot(here.x - before.x, here.y - before.y);
    if (down.size === 2) {
      if (apart > 0) hands.magnify(distance() / apart);
    } else if (moved > TREMBLE_PIXELS)
      hands.turn((before.x - here.x) * DEGREES_A_PIXEL, (here.y - before.y) * DEGREES_A_PIXEL);
  });
  on('pointerup', (event) => {
    const isPress = down.delete(event.pointerId) && down.size === 0 && moved <= TREMBLE_PIXELS && !wasTwo;
    if (!isPress) return;
    const frame = element.getBoundingClientRect();
    hands.press(
      ((event.clientX - frame.left) / frame.width) * 2 - 1,
      1 - ((event.clientY - frame.top) / frame.height) * 2,
    );
  });
  on('pointercancel', (event) => {
    down.delete(event.pointerId);
  });
  on('wheel', (event) => {
    // Only where somebody has turned to the picture; elsewhere the wheel scrolls the page.
    if (document.activeElement !== element && !event.ctrlKey) return;
    event.preventDefault();
    hands.magnify(Math.exp(-event.deltaY * 0.0015));
  });
  on('keydown', (event) => {
    const act = keys[event.key];
    if (act === undefined || event.ctrlKey || event.metaKey || event.altKey) return;
    event.preventDefault();
    act(hands);
  });
  return () => {
    listening.abort();
  };
}

const keys: Readonly<Record<string, (hands: Hands) => void>> = {
  ArrowLeft: (hands) => {
    hands.turn(DEGREES_A_KEY, 0);
  },
  ArrowRight: (hands) => {
    hands.turn(-DEGREES_A_KEY, 0);
  },
  ArrowUp: (hands) => {
    hands.turn(0, DEGREES_A_KEY);
  },
  ArrowDown: (hands) => {
    hands.turn(0, -DEGREES_A_KEY);
  },
  '+': (hands) => {
    hands.magnify(1.2);
  },
  '=': (hands) => {
    hands.magnify(1.2);
  },
  '-': (hands) => {
    hands.magnify(1 / 1.2);
  },
};
