import type { JSX } from 'preact';
import type { GroupId, PAGES, PageId } from './pages.ts';

type Page = (typeof PAGES)[number];

interface Props {
  readonly id: GroupId;
  readonly name: string;
  /** Those that this person may use; a group without any is not shown. */
  readonly pages: readonly Page[];
  readonly current: PageId;
  readonly open: boolean;
  readonly onToggle: () => void;
}

/** A group of the navigation: a button that opens the list of its pages, which follows it in the order of the keyboard. */
export function NavigationGroup({ id, name, pages, current, open, onToggle }: Props): JSX.Element | null {
  if (pages.length === 0) return null;
  const list = `pages-${id}`;
  return (
    <li>
      <button
        type="button"
        class="pages-head"
        aria-expanded={open}
        aria-controls={list}
        aria-current={pages.some((page) => page.id === current) ? 'true' : undefined}
        onClick={onToggle}
      >
        {name}
      </button>
      <ul id={list} class={open ? 'pages-group pages-group-open' : 'pages-group'}>
        {pages.map((page) => (
          <PageLink key={page.id} to={page} current={current} />
        ))}
      </ul>
    </li>
  );
}

/** The way to one page, marked where it is the one on screen. */
export function PageLink({ to, current }: { to: Page; current: PageId }): JSX.Element {
  return (
    <li>
      <a href={to.path} aria-current={to.id === current ? 'page' : undefined}>
        {to.name}
      </a>
    </li>
  );
}
