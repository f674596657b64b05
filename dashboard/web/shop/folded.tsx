import type { ComponentChildren, JSX } from 'preact';

interface Props {
  readonly title: string;
  /** Printed where it is open; else it is of no use on paper. Default false. */
  readonly onPaper?: boolean;
  readonly children: ComponentChildren;
}

/** As the width below which tables are shown as stacks (styles/stacked.css). */
const PHONE = '(max-width: 47rem)';

/** A part of a long page under its heading: open where there is room, folded on a phone until it is wanted. */
export function Folded({ title, onPaper = false, children }: Props): JSX.Element {
  return (
    <details class={onPaper ? 'folded on-paper' : 'folded'} open={!matchMedia(PHONE).matches}>
      <summary>
        <h2>{title}</h2>
      </summary>
      {children}
    </details>
  );
}
