import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import { mayDo } from '../sign-in/me.ts';
import { NavigationGroup, PageLink } from './navigation-group.tsx';
import { GROUPS, type GroupId, PAGES, type PageId } from './pages.ts';

/**
 * The ways to all pages, by group, with the group of this page open; on a phone behind one large button, so that the content comes
 * first there. Escape puts it back as it was.
 */
export function Navigation({ page }: { page: PageId }): JSX.Element {
  const here = PAGES.find(({ id }) => id === page);
  const own: GroupId | null = here?.group ?? null;
  const [shown, setShown] = useState(false);
  const [open, setOpen] = useState(own);
  const usable = PAGES.filter((one) => !('least' in one) || mayDo(one.least));
  return (
    <nav
      class="pages"
      aria-label="Pages"
      onKeyDown={(event) => {
        if (event.key !== 'Escape') return;
        setShown(false);
        setOpen(own);
      }}
    >
      <button
        type="button"
        class="pages-open"
        aria-expanded={shown}
        aria-controls="pages-list"
        onClick={() => setShown(!shown)}
      >
        <span aria-hidden="true">☰</span> {here?.name}
        <span class="unseen">: all pages</span>
      </button>
      <ul id="pages-list" class={shown ? 'pages-list pages-shown' : 'pages-list'}>
        {usable
          .filter(({ group }) => group === null)
          .map((one) => (
            <PageLink key={one.id} to={one} current={page} />
          ))}
        {GROUPS.map(({ id, name }) => (
          <NavigationGroup
            key={id}
            id={id}
            name={name}
            pages={usable.filter(({ group }) => group === id)}
            current={page}
            open={open === id}
            onToggle={() => setOpen(open === id ? null : id)}
          />
        ))}
      </ul>
    </nav>
  );
}
