import uPlot from 'uplot';
import { gestured, type Span } from './look.ts';

/** All charts of the stack move together while fingers are on one of them. */
export const STACK = uPlot.sync('history');

/** Moves the axes of all charts; their curves stay those that they have. */
export function showOnStack({ from, to }: Span): void {
  for (const plot of STACK.plots) plot.setScale('x', { min: from / 1000, max: to / 1000 });
}

/** Fingers that moved less only touched, px. Source: own choice. */
const TOUCH_PX = 8;

/**
 * Looks nearer and farther by fingers: one finger moves, two pinch.
 *
 * @param over the chart's area of curves
 * @param span what the chart shows, epoch ms
 * @param onLook told once the gesture is over
 * @returns takes them away again
 */
export function followGestures(over: HTMLElement, span: Span, onLook: (span: Span) => void): () => void {
  const fingers = new Map<number, { readonly start: number; now: number }>();
  let shown = span;
  let isMoved = false;
  const share = (event: MouseEvent): number => {
    const { left, width } = over.getBoundingClientRect();
    return (event.clientX - left) / Math.max(1, width);
  };
  const show = (next: Span): void => {
    shown = next;
    showOnStack(next);
  };
  const down = (event: PointerEvent): void => {
    if (event.pointerType !== 'touch' || fingers.size === 2) return;
    // Another finger begins another gesture from where the first one brought the picture.
    for (const [id, { now }] of fingers) fingers.set(id, { start: now, now });
    span = shown;
    fingers.set(event.pointerId, { start: share(event), now: share(event) });
  };
  const move = (event: PointerEvent): void => {
    const finger = fingers.get(event.pointerId);
    if (finger === undefined) return;
    finger.now = share(event);
    const all = [...fingers.values()];
    isMoved ||= all.some(({ start, now }) => Math.abs(now - start) * over.clientWidth > TOUCH_PX);
    if (isMoved)
      show(
        gestured(
          span,
          all.map(({ start }) => start),
          all.map(({ now }) => now),
        ),
      );
  };
  const up = (event: PointerEvent): void => {
    if (!fingers.delete(event.pointerId)) return;
    for (const [id, { now }] of fingers) fingers.set(id, { start: now, now });
    span = shown;
    if (fingers.size > 0 || !isMoved) return;
    isMoved = false;
    onLook(shown);
  };
  const ends = ['pointerup', 'pointercancel'] as const;
  over.addEventListener('pointerdown', down);
  // Fingers may leave the chart before they leave the glass.
  addEventListener('pointermove', move);
  for (const end of ends) addEventListener(end, up);
  return () => {
    removeEventListener('pointermove', move);
    for (const end of ends) removeEventListener(end, up);
  };
}
