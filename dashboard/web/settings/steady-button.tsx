import type { ComponentChildren, JSX } from 'preact';

interface Props {
  /** Takes no press for now. */
  readonly rests: boolean;
  readonly onPress: () => void;
  readonly children: ComponentChildren;
}

/** A button that keeps the focus while it rests: one that is disabled drops it, and whoever goes by keys is nowhere then. */
export function SteadyButton({ rests, onPress, children }: Props): JSX.Element {
  return (
    <button type="button" class="button" aria-disabled={rests} onClick={() => rests || onPress()}>
      {children}
    </button>
  );
}
