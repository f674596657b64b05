import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import { mayDo } from '../sign-in/me.ts';
import { PAGES, type PageId } from './pages.ts';

/** The ways to all pages; on a phone behind one large button, so that the content comes first there. */
export function Navigation({ page }: { page: PageId }): JSX.Element {
  const [open, setOpen] = useState(false);
  const here = PAGES.find(({ id }) => id === page);
  return (
    <nav
      class="pages"
      aria-label="Pages"
      onKeyDown={(event) => {
        if (event.key === 'Escape') setOpen(false);
      }}
    >
      <button
        type="button"
        class="pages-open"
        aria-expanded={open}
        aria-controls="pages-list"
        onClick={() => setOpen(!open)}
      >
        <span aria-hidden="true">☰</span> {here?.name}
        <span class="unseen">: all pages</span>
      </button>
      <ul id="pages-list" class={open ? 'pages-shown' : ''}>
        {PAGES.filter((one) => !('least' in one) || mayDo(one.least)).map(({ id, path, name }) => (
          <li key={id}>
            <a href={path} aria-current={id === page ? 'page' : undefined}>
              {name}
            </a>
          </li>
        ))}
      </ul>
    </nav>
  );
}
