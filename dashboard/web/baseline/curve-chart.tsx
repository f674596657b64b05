import type { JSX } from 'preact';
import { useEffect, useRef } from 'preact/hooks';
import { drawBaseline, type Inks, type Plotted, placesOf } from './baseline-plot.ts';

interface Props {
  readonly plot: Plotted;
  readonly onRead: (output: number) => void;
  readonly onCanvas: (canvas: HTMLCanvasElement | null) => void;
}

const HEIGHT = 420;

/** The pump curve; a touch or click reads it there. What it shows stands in the table and beside the slider too. */
export function CurveChart({ plot, onRead, onCanvas }: Props): JSX.Element {
  const place = useRef<HTMLCanvasElement>(null);
  const newest = useRef(plot);
  newest.current = plot;
  const draw = (): void => {
    const canvas = place.current;
    const pen = canvas?.getContext('2d') ?? null;
    if (canvas === null || pen === null) return;
    const width = canvas.parentElement?.clientWidth ?? 0;
    const ratio = devicePixelRatio;
    canvas.width = Math.round(width * ratio);
    canvas.height = Math.round(HEIGHT * ratio);
    pen.setTransform(ratio, 0, 0, ratio, 0, 0);
    drawBaseline(pen, newest.current, inksNow(), width, HEIGHT);
  };
  useEffect(draw, [plot]);
  useEffect(() => {
    const canvas = place.current;
    if (canvas === null) return;
    onCanvas(canvas);
    const observer = new ResizeObserver(draw);
    observer.observe(canvas.parentElement!);
    return () => {
      observer.disconnect();
      onCanvas(null);
    };
  }, [onCanvas]);
  const read = (event: PointerEvent): void => {
    const canvas = place.current;
    if (canvas === null || (event.type === 'pointermove' && event.buttons === 0 && event.pointerType !== 'mouse'))
      return;
    const box = canvas.getBoundingClientRect();
    onRead(placesOf(plot, box.width, HEIGHT).outputAt(event.clientX - box.left));
  };
  return (
    <div class="curve-place" aria-hidden="true">
      <canvas ref={place} style={{ '--curve-height': `${HEIGHT}px` }} onPointerDown={read} onPointerMove={read} />
    </div>
  );
}

function inksNow(): Inks {
  const style = getComputedStyle(document.documentElement);
  const colour = (name: string): string => style.getPropertyValue(name).trim();
  return {
    ...{ ink: colour('--ink'), soft: colour('--ink-soft'), rule: colour('--rule-soft'), sheet: colour('--sheet') },
    ...{ band: `${colour('--rule')}99`, font: style.fontFamily },
  };
}
