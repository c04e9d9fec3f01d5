/*
 * Fingers, mouse and wheel on a chart, as zoom, pan and a moment pointed at. Called by the charts with an element and what to do; knows nothing of what is drawn.
 * A finger that moves up or down scrolls the page, since the element leaves that to the browser (touch-action: pan-y).
 */

export interface Hands {
  /** The element's own pixels to a share of the view: 0 at its left end, 1 at its right one. */
  shareAt(offsetX: number): number;
  /** false: nothing to zoom any more, so the page may scroll. */
  zoom(factor: number, share: number): boolean;
  /** By so much of the view; positive looks later. */
  pan(share: number): boolean;
  pinchBegins(): void;
  /** Where two fingers began and are, as shares of the view as it was then. */
  pinch(began: readonly [number, number], now: readonly [number, number]): void;
  /** `isPressed`: with a click or a tap. */
  point(share: number, isPressed: boolean): void;
  /** The wheel is this chart's, and not the page's. */
  takesWheel(event: WheelEvent): boolean;
}

interface Finger {
  readonly beganX: number;
  x: number;
}

/** Less is a tap with an unquiet hand. */
const TAP_PIXELS = 6;
/** Of the length for each pixel of a wheel; a notch of a hundred pixels is about a fifth. */
const WHEEL_ZOOM = 0.0018;
const LINE_PIXELS = 16;

/** Answers how to stop listening. */
export function listenToHands(element: HTMLElement, hands: Hands): () => void {
  const fingers = new Map<number, Finger>();
  let isDragging = false;
  let pinchBegan: readonly [number, number] | null = null;
  const xOf = (event: MouseEvent): number => event.clientX - element.getBoundingClientRect().left;
  const two = (): readonly [number, number] | null => {
    const [one, other] = [...fingers.values()].map(({ x }) => hands.shareAt(x));
    return one === undefined || other === undefined ? null : [one, other];
  };

  const down = (event: PointerEvent): void => {
    if (event.pointerType === 'mouse' && event.button !== 0) return;
    const x = xOf(event);
    fingers.set(event.pointerId, { beganX: x, x });
    element.setPointerCapture(event.pointerId);
    isDragging = fingers.size > 1;
    pinchBegan = two();
    if (pinchBegan !== null) hands.pinchBegins();
  };
  const move = (event: PointerEvent): void => {
    const finger = fingers.get(event.pointerId);
    const x = xOf(event);
    if (finger === undefined) {
      hands.point(hands.shareAt(x), false);
      return;
    }
    const before = finger.x;
    finger.x = x;
    const now = two();
    if (pinchBegan !== null && now !== null) hands.pinch(pinchBegan, now);
    else if (isDragging) hands.pan(hands.shareAt(before) - hands.shareAt(x));
    else if (Math.abs(x - finger.beganX) > TAP_PIXELS) {
      isDragging = true;
      hands.pan(hands.shareAt(finger.beganX) - hands.shareAt(x));
    }
  };
  const up = (event: PointerEvent): void => {
    const finger = fingers.get(event.pointerId);
    if (finger === undefined) return;
    fingers.delete(event.pointerId);
    if (!isDragging && event.type === 'pointerup') hands.point(hands.shareAt(finger.x), true);
    pinchBegan = null;
    // After a pinch the finger that stays goes on as a drag.
    if (fingers.size === 0) isDragging = false;
  };
  const wheel = (event: WheelEvent): void => {
    if (!hands.takesWheel(event)) return;
    const unit = event.deltaMode === WheelEvent.DOM_DELTA_PIXEL ? 1 : LINE_PIXELS;
    const share = hands.shareAt(xOf(event));
    const isSideways = Math.abs(event.deltaX) > Math.abs(event.deltaY);
    const didMove = isSideways
      ? hands.pan((event.deltaX * unit) / element.clientWidth)
      : hands.zoom(Math.exp(-event.deltaY * unit * WHEEL_ZOOM), share);
    if (didMove) event.preventDefault();
  };

  element.addEventListener('pointerdown', down);
  element.addEventListener('pointermove', move);
  element.addEventListener('pointerup', up);
  element.addEventListener('pointercancel', up);
  element.addEventListener('wheel', wheel, { passive: false });
  return () => {
    element.removeEventListener('pointerdown', down);
    element.removeEventListener('pointermove', move);
    element.removeEventListener('pointerup', up);
    element.removeEventListener('pointercancel', up);
    element.removeEventListener('wheel', wheel);
  };
}
