import type { Signal } from '@preact/signals';
import type { ComponentChildren, JSX } from 'preact';
import { ListState } from './list-state.tsx';
import type { Loaded } from './loaded.ts';

interface Props<T> {
  readonly list: Loaded<T[]>;
  /** What stands there while there are none. */
  readonly empty: string;
  readonly fault: Signal<string | null>;
  readonly keyOf: (one: T) => string;
  readonly nameOf: (one: T) => string;
  readonly says: (one: T) => string;
  readonly actions: (one: T) => ComponentChildren;
}

/** Accounts, one a line: its name, what it is, and what may be done with it. */
export function AccountList<T>({ list, empty, fault, keyOf, nameOf, says, actions }: Props<T>): JSX.Element {
  return (
    <>
      <p class="fault" role="alert">
        {fault.value}
      </p>
      <ListState list={list} empty={empty} />
      <ul class="people-list">
        {(list.value.value ?? []).map((one) => (
          <li key={keyOf(one)}>
            <p>
              <strong>{nameOf(one)}</strong> <span class="soft">{says(one)}</span>
            </p>
            {actions(one) && <p class="people-actions">{actions(one)}</p>}
          </li>
        ))}
      </ul>
    </>
  );
}
