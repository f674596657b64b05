import type { JSX } from 'preact';
import type { Loaded } from './loaded.ts';

/** What stands in place of a list that is not there: loading, a fault with a way on, or that it is empty. */
export function ListState({ list, empty }: { list: Loaded<readonly unknown[]>; empty: string }): JSX.Element {
  if (list.fault.value !== null)
    return (
      <p class="fault" role="alert">
        {list.fault.value}{' '}
        <button type="button" class="button" onClick={() => void list.load()}>
          Try again
        </button>
      </p>
    );
  if (list.value.value === null) return <p class="soft">Loading…</p>;
  return <>{list.value.value.length === 0 && <p class="soft">{empty}</p>}</>;
}
