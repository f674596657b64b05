import type { ComponentChildren, JSX } from 'preact';
import { useLayoutEffect, useRef } from 'preact/hooks';
import { link, now, wall } from '../link/live.ts';
import { dayAndClock } from '../words/site-time.ts';
import { keepCellsNamed } from './column-names.ts';
import { Navigation } from './navigation.tsx';
import type { PageId } from './pages.ts';

interface Props {
  readonly title: string;
  /** The page of the navigation that this one is, or lies below. */
  readonly page: PageId;
  /** For tables: as wide as the window instead of as wide as lines read well. */
  readonly wide?: boolean;
  readonly children: ComponentChildren;
}

/** Every page but the wall: where one is, the ways on, what keeps the page from being current, and its content. */
export function Frame({ title, page, wide = false, children }: Props): JSX.Element {
  const content = useRef<HTMLElement>(null);
  useLayoutEffect(() => (content.current ? keepCellsNamed(content.current) : undefined), []);
  return (
    <div class={wide ? 'sheet sheet-wide' : 'sheet'}>
      <a class="skip" href="#content">
        Skip to content
      </a>
      <header class="sheet-head">
        <Navigation page={page} />
        <p class="sheet-site">
          {wall.value?.site.name}
          <PrintedAt />
        </p>
      </header>
      <LinkNotice />
      <main id="content" tabIndex={-1} ref={content}>
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
