import type { Shown } from './secret-once.tsx';

/** What a part of the page tells the rest of it. */
export interface PartProps {
  readonly onSecret: (shown: Shown) => void;
}
