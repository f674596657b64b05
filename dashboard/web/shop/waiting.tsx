import type { JSX } from 'preact';

/** What stands in place of content: that it is on its way, or why it did not come. */
export function Waiting({ fault, empty }: { fault: string | null; empty: boolean }): JSX.Element | null {
  if (fault !== null)
    return (
      <p class="fault" role="alert">
        {fault}
      </p>
    );
  return empty ? <p class="soft">Loading…</p> : null;
}
