import type { Signal } from '@preact/signals';
import type { ComponentChildren, JSX } from 'preact';
import { PlainForm } from '../sign-in/plain-form.tsx';

interface Props {
  /** What it adds: "Add a station". */
  readonly title: string;
  readonly button: string;
  /** The name that is asked for; empty again once it was added. */
  readonly name: Signal<string>;
  readonly onAdd: (name: string) => Promise<void>;
  readonly children: ComponentChildren;
}

/** A small form that makes an account and its secret. */
export function AddForm({ title, button, name, onAdd, children }: Props): JSX.Element {
  return (
    <PlainForm
      button={button}
      busy="Making…"
      label={title}
      small
      onSend={async () => {
        await onAdd(name.value);
        name.value = '';
      }}
    >
      <h3 class="people-add">{title}</h3>
      {children}
    </PlainForm>
  );
}
