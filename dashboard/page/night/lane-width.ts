/* How wide a band's lanes are on this screen: what its ticks, its phases and its marks are laid out by. Used by the bands. */
import { useSignal } from '@preact/signals';
import type { RefObject } from 'preact';
import { useEffect, useRef } from 'preact/hooks';
import { GUTTER_PIXELS, RIGHT_PIXELS } from './lanes.js';

/** `frame` goes to the element that holds the band; `width` in pixels follows it. */
export function useLaneWidth(): { readonly frame: RefObject<HTMLDivElement | null>; readonly width: number } {
  const frame = useRef<HTMLDivElement>(null);
  const frameWidth = useSignal(320);
  useEffect(() => {
    const observer = new ResizeObserver(([entry]) => {
      if (entry) frameWidth.value = entry.contentRect.width;
    });
    observer.observe(frame.current!);
    return () => observer.disconnect();
  }, [frameWidth]);
  return { frame, width: Math.max(100, frameWidth.value - GUTTER_PIXELS - RIGHT_PIXELS) };
}
