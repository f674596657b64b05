import type { ComponentChildren, JSX } from 'preact';
import { useState } from 'preact/hooks';

interface Props {
  readonly summary: ComponentChildren;
  /** Made when it is opened first: a long table that nobody opens must not hold up the page. */
  readonly children: () => ComponentChildren;
  /** Whether its line is printed while it is folded: where it tells that there is more. */
  readonly isOnPaper?: boolean;
}

/** A summary with more below it, which is there once it is unfolded. */
export function Unfolded({ summary, children, isOnPaper = false }: Props): JSX.Element {
  const [wanted, setWanted] = useState(false);
  return (
    <details
      class={isOnPaper ? 'numbers kept-on-paper' : 'numbers'}
      onToggle={({ currentTarget }) => currentTarget.open && setWanted(true)}
    >
      <summary>{summary}</summary>
      {wanted && children()}
    </details>
  );
}
