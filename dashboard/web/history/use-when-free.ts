import { useCallback, useEffect, useRef } from 'preact/hooks';

/**
 * Keeps a picture as it is while fingers or a pressed mouse are on it: charts that are drawn anew would end what is being drawn out or pinched.
 *
 * @param place the picture; null before it is there
 * @returns runs what it is given at once, or when nothing is on the picture any more; of several that wait, the last
 */
export function useWhenFree(place: HTMLElement | null): (show: () => void) => void {
  const pressed = useRef(new Set<number>());
  const waiting = useRef<(() => void) | null>(null);
  useEffect(() => {
    if (place === null) return;
    const press = ({ pointerId }: PointerEvent): void => void pressed.current.add(pointerId);
    const leave = ({ pointerId }: PointerEvent): void => {
      if (!pressed.current.delete(pointerId) || pressed.current.size > 0) return;
      const show = waiting.current;
      waiting.current = null;
      // Behind what the gesture itself asks for, which may make it old.
      if (show !== null) setTimeout(show);
    };
    const ends = ['pointerup', 'pointercancel'] as const;
    place.addEventListener('pointerdown', press);
    for (const end of ends) addEventListener(end, leave);
    return () => {
      place.removeEventListener('pointerdown', press);
      for (const end of ends) removeEventListener(end, leave);
    };
  }, [place]);
  return useCallback((show: () => void): void => {
    if (pressed.current.size === 0) show();
    else waiting.current = show;
  }, []);
}
