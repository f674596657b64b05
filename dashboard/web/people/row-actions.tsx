import { useSignal } from '@preact/signals';
import type { JSX } from 'preact';
import { ApiFault } from '../api.ts';

interface Props {
  readonly label: string;
  /** Names the subject for screen readers: there are many such buttons on a page. */
  readonly of: string;
  /** Asked before it is done; without it is done at once. */
  readonly sure?: string;
  readonly act: () => Promise<void>;
  readonly onFault: (sentence: string) => void;
}

/** A button of a row; what cannot be undone asks once more in its place. */
export function RowAction({ label, of, sure, act, onFault }: Props): JSX.Element {
  const asking = useSignal(false);
  const busy = useSignal(false);
  const run = async (): Promise<void> => {
    asking.value = false;
    busy.value = true;
    try {
      await act();
    } catch (error) {
      if (!(error instanceof ApiFault)) throw error;
      onFault(error.message);
    } finally {
      busy.value = false;
    }
  };
  if (asking.value)
    return (
      <span class="row-sure">
        <span>{sure}</span>
        <button
          type="button"
          class="button"
          aria-label={`Yes, ${label.toLowerCase()}: ${of}`}
          onClick={() => void run()}
        >
          Yes
        </button>
        <button
          type="button"
          class="button"
          onClick={() => {
            asking.value = false;
          }}
        >
          No
        </button>
      </span>
    );
  return (
    <button
      type="button"
      class="button"
      aria-label={`${label}: ${of}`}
      disabled={busy.value}
      onClick={() => {
        if (sure === undefined) void run();
        else asking.value = true;
      }}
    >
      {label}
    </button>
  );
}
