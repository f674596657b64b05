import type { RefObject } from 'preact';
import { useEffect, useRef } from 'preact/hooks';

/**
 * Where whoever goes by keys goes on once what they pressed has gone from the page with what it did: otherwise they would be at its top.
 * What is on screen stays where it is, for those who press with a pointer.
 *
 * @param shown what changes when the page shows that it was done
 * @returns the place to go on at, which needs a `tabIndex` of -1, and what is called with each press
 */
export function useGoneOn<T extends HTMLElement>(shown: unknown): readonly [RefObject<T | null>, () => void] {
  const place = useRef<T>(null);
  const isAwaited = useRef(false);
  useEffect(() => {
    if (!isAwaited.current) return;
    isAwaited.current = false;
    // A button that rests now loses the focus with the next frame.
    if (document.activeElement?.matches('body, :disabled')) place.current?.focus({ preventScroll: true });
  }, [shown]);
  return [
    place,
    () => {
      isAwaited.current = true;
    },
  ];
}
