import { useEffect, useRef } from 'preact/hooks';
import { SIDES } from './chart.tsx';
import { gestured, type Span } from './look.ts';
import { showOnStack } from './stack.ts';

/** Fingers that moved less only touched, px. Source: own choice. */
const TOUCH_PX = 8;

/**
 * Looks nearer and farther by fingers on the curves: one finger moves, two pinch. They are followed over all of the picture, whose charts
 * come and go with what a span holds.
 *
 * @param place what the charts stand in, as wide as they are; null before it is there
 * @param span what was last asked for; null before anything was
 * @param onLook told once the gesture is over
 */
export function useFingers(place: HTMLElement | null, span: Span | null, onLook: (span: Span) => void): void {
  const now = useRef({ span, onLook });
  now.current = { span, onLook };
  useEffect(() => (place === null ? undefined : followFingers(place, now)), [place]);
}

/** @returns takes it away again */
function followFingers(
  place: HTMLElement,
  now: { readonly current: { readonly span: Span | null; readonly onLook: (span: Span) => void } },
): () => void {
  const fingers = new Map<number, { readonly start: number; now: number }>();
  /** What they began on, and where they brought it. */
  let from: Span | null = null;
  let shown: Span | null = null;
  let isMoved = false;
  const widthOf = (): number => Math.max(1, place.clientWidth - SIDES.left - SIDES.right);
  const share = (event: MouseEvent): number =>
    (event.clientX - place.getBoundingClientRect().left - SIDES.left) / widthOf();
  // Another finger, or one less, begins another gesture from where the ones before brought the picture.
  const beginAnew = (): void => {
    for (const [id, { now: at }] of fingers) fingers.set(id, { start: at, now: at });
    from = shown ?? now.current.span;
  };
  const down = (event: PointerEvent): void => {
    const isOnCurves = event.target instanceof Element && event.target.closest('.u-over') !== null;
    if (event.pointerType !== 'touch' || fingers.size === 2 || !isOnCurves) return;
    beginAnew();
    fingers.set(event.pointerId, { start: share(event), now: share(event) });
  };
  const move = (event: PointerEvent): void => {
    const finger = fingers.get(event.pointerId);
    if (finger === undefined || from === null) return;
    finger.now = share(event);
    const all = [...fingers.values()];
    isMoved ||= all.some((one) => Math.abs(one.now - one.start) * widthOf() > TOUCH_PX);
    if (!isMoved) return;
    shown = gestured(
      from,
      all.map((one) => one.start),
      all.map((one) => one.now),
    );
    showOnStack(shown);
  };
  const up = (event: PointerEvent): void => {
    if (!fingers.delete(event.pointerId)) return;
    beginAnew();
    if (fingers.size > 0) return;
    const brought = shown;
    [from, shown] = [null, null];
    if (isMoved && brought !== null) now.current.onLook(brought);
    isMoved = false;
  };
  const ends = ['pointerup', 'pointercancel'] as const;
  place.addEventListener('pointerdown', down);
  // Fingers may leave the picture before they leave the glass.
  addEventListener('pointermove', move);
  for (const end of ends) addEventListener(end, up);
  return () => {
    place.removeEventListener('pointerdown', down);
    removeEventListener('pointermove', move);
    for (const end of ends) removeEventListener(end, up);
  };
}
