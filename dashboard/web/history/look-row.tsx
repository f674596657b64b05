import type { JSX } from 'preact';
import type { Site } from '../../server/endpoints/site.ts';
import { GunSelect } from '../gun-select.tsx';
import { type Look, moved, SPANS, type Span, zoomed } from './look.ts';
import { SpanForm } from './span-form.tsx';

interface LookProps {
  readonly site: Site;
  readonly gun: string;
  readonly look: Look;
  readonly span: Span | null;
  readonly known: Span | null;
  readonly go: (change: Partial<Look>) => void;
  readonly goTo: (span: Span) => void;
}

/** What is looked at, and how to look elsewhere. */
export function LookRow({ site, gun, look, span, known, go, goTo }: LookProps): JSX.Element {
  return (
    <div class="look">
      <div class="look-row">
        <GunSelect guns={site.guns} value={gun} onChoose={(next) => go({ gun: next })} />
        <label>
          Beside it{' '}
          <select value={look.other ?? ''} onChange={(event) => go({ other: event.currentTarget.value || null })}>
            <option value="">no other gun</option>
            {site.guns
              .filter(({ id }) => id !== gun)
              .map(({ id, name }) => (
                <option key={id} value={id}>
                  {name}
                </option>
              ))}
          </select>
        </label>
        <a class="button" href={`/baseline?gun=${encodeURIComponent(gun)}`}>
          Baseline
        </a>
      </div>
      <fieldset class="look-row">
        <legend class="unseen">Span of time</legend>
        {SPANS.map(({ name, ms }) => {
          // What was asked for: all there is may by chance be as long as a day.
          const isShown =
            span !== null && (ms === null ? look.from === null : look.from !== null && span.to - span.from === ms);
          return (
            <button
              type="button"
              class="button"
              key={name}
              aria-pressed={isShown}
              onClick={() => {
                const end = Math.min(span?.to ?? Number.POSITIVE_INFINITY, known?.to ?? Number.POSITIVE_INFINITY);
                if (ms === null) go({ from: null, to: null });
                else if (Number.isFinite(end)) goTo({ from: end - ms, to: end });
              }}
            >
              {name}
            </button>
          );
        })}
        {span !== null && (
          <>
            <button type="button" class="button" onClick={() => goTo(moved(span, -0.5))}>
              <span aria-hidden="true">◀</span> Earlier
            </button>
            <button type="button" class="button" onClick={() => goTo(moved(span, 0.5))}>
              Later <span aria-hidden="true">▶</span>
            </button>
            <button type="button" class="button" onClick={() => goTo(zoomed(span, 0.5))}>
              Nearer
            </button>
            <button type="button" class="button" onClick={() => goTo(zoomed(span, 2))}>
              Farther
            </button>
          </>
        )}
      </fieldset>
      {span !== null && <SpanForm {...{ site, span, goTo }} />}
      <p class="soft no-print">
        <span class="for-mouse">
          Drag over a chart to look nearer, double-click for farther, or turn the wheel with Ctrl.{' '}
        </span>
        Fingers move and pinch. <span class="for-mouse">Arrow keys move, + and − zoom. </span>The browser’s Back goes
        back.
      </p>
    </div>
  );
}
