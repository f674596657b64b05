import { useEffect, useRef } from 'preact/hooks';
import { SIDES } from './chart.tsx';
import { type Span, zoomed } from './look.ts';
import { showOnStack } from './stack.ts';

/** A turn of the wheel is over after so long, ms. Source: own choice. */
const WHEEL_MS = 250;
/** Nearer by this for one notch of the wheel (100 px). Source: own choice, three notches halve the span. */
const NOTCH = 0.8;

/**
 * Looks nearer and farther by the wheel with Ctrl, or a touchpad's pinch, anywhere over the picture: charts come and go and move
 * with what a span holds, and a wheel that turns on must not leave them for the browser's own zoom. Without Ctrl the page scrolls.
 *
 * @param place what the charts stand in, as wide as they are; null before it is there
 * @param span what was last asked for; null before anything was
 * @param onLook told once the wheel rests
 */
export function useWheel(place: HTMLElement | null, span: Span | null, onLook: (span: Span) => void): void {
  const now = useRef({ span, onLook });
  now.current = { span, onLook };
  useEffect(() => {
    if (place === null) return;
    // Turned to, and not asked for yet: an answer that comes meanwhile must not take it back.
    let turned: Span | null = null;
    let timer: ReturnType<typeof setTimeout> | undefined;
    const wheel = (event: WheelEvent): void => {
      const from = turned ?? now.current.span;
      if (from === null || (!event.ctrlKey && !event.metaKey)) return;
      event.preventDefault();
      const { left, width } = place.getBoundingClientRect();
      const share = (event.clientX - left - SIDES.left) / Math.max(1, width - SIDES.left - SIDES.right);
      turned = zoomed(from, NOTCH ** (-event.deltaY / 100), Math.min(1, Math.max(0, share)));
      showOnStack(turned);
      clearTimeout(timer);
      timer = setTimeout(() => {
        if (turned !== null) now.current.onLook(turned);
        turned = null;
      }, WHEEL_MS);
    };
    place.addEventListener('wheel', wheel, { passive: false });
    return () => {
      clearTimeout(timer);
      place.removeEventListener('wheel', wheel);
    };
  }, [place]);
}
