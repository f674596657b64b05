import type { JSX } from 'preact';

interface Props {
  readonly fault: string | null;
  readonly empty: boolean;
  /** What is said where it takes longer than a moment. */
  readonly says?: string;
}

/** What stands in place of content: that it is on its way, or why it did not come. */
export function Waiting({ fault, empty, says = 'Loading…' }: Props): JSX.Element | null {
  if (fault !== null)
    return (
      <p class="fault" role="alert">
        {fault}
      </p>
    );
  if (!empty) return null;
  return (
    <p class="soft">
      {says}
      <span class="print-only"> Printed before it had come: print it once more.</span>
    </p>
  );
}
