import type { JSX } from 'preact';

interface Props {
  readonly label: string;
  readonly tabs: readonly { readonly href: string; readonly name: string }[];
  /** Address of the one that is shown. */
  readonly here: string;
}

/** Ways between views of one page, as links: they can be kept, shared and opened anew. */
export function Tabs({ label, tabs, here }: Props): JSX.Element {
  return (
    <nav class="tabs no-print" aria-label={label}>
      {tabs.map(({ href, name }) => (
        <a key={href} href={href} aria-current={href === here ? 'page' : undefined}>
          {name}
        </a>
      ))}
    </nav>
  );
}
