import type { ComponentChildren, JSX } from 'preact';
import { link, now, wall } from '../link/live.ts';
import { dayAndClock } from '../words/site-time.ts';

interface Props {
  readonly title: string;
  readonly screen: 'jobs' | 'job' | 'log';
  readonly children: ComponentChildren;
}

/** A page to read close by: where one is, what keeps it from being current, and its content. */
export function Sheet({ title, screen, children }: Props): JSX.Element {
  return (
    <div class="sheet">
      <header class="sheet-head">
        <nav aria-label="Screens">
          <a href="/">Wall</a>
          <a href="/jobs" aria-current={screen === 'jobs' ? 'page' : undefined}>
            Jobs
          </a>
          <a href="/log" aria-current={screen === 'log' ? 'page' : undefined}>
            Log work
          </a>
        </nav>
        <p class="sheet-site">
          {wall.value?.site.name}
          <PrintedAt />
        </p>
      </header>
      <LinkNotice />
      <main>
        <h1>{title}</h1>
        {children}
      </main>
    </div>
  );
}

/** Paper does not change: it says when it was true. */
function PrintedAt(): JSX.Element | null {
  if (!wall.value || now.value === null) return null;
  return <span class="print-only">, as of {dayAndClock(now.value, wall.value.site)}</span>;
}

function LinkNotice(): JSX.Element {
  const state = link.value;
  const style = wall.value?.site;
  return (
    <p class="link-notice" role="status">
      {state.kind === 'unreached' && 'No answer from the service. Trying again.'}
      {state.kind === 'lost' &&
        style &&
        `No connection. What is shown is from ${dayAndClock(state.lastTrueMs, style)}.`}
    </p>
  );
}
