import { useSignal } from '@preact/signals';
import type { ComponentChildren, JSX } from 'preact';
import { ApiFault } from '../api.ts';

interface Props {
  readonly button: string;
  readonly busy: string;
  /** Done when it resolves; an ApiFault is shown. */
  readonly onSend: () => Promise<void>;
  readonly children: ComponentChildren;
  /** For screen readers, where no heading names the form. */
  readonly label?: string;
  readonly small?: boolean;
}

/** A form with one button that says what went wrong, and cannot be sent twice at once. */
export function PlainForm({ button, busy, onSend, children, label, small = false }: Props): JSX.Element {
  const fault = useSignal<string | null>(null);
  const sending = useSignal(false);
  const submit = async (): Promise<void> => {
    if (sending.value) return;
    sending.value = true;
    fault.value = null;
    try {
      await onSend();
    } catch (error) {
      if (!(error instanceof ApiFault)) throw error;
      fault.value = error.message;
    } finally {
      sending.value = false;
    }
  };
  return (
    <form
      aria-label={label}
      noValidate
      onSubmit={(event) => {
        event.preventDefault();
        void submit();
      }}
    >
      {children}
      <p class="fault" role="alert">
        {fault.value}
      </p>
      <button type="submit" class={small ? 'button' : 'button button-main'} disabled={sending.value}>
        {sending.value ? busy : button}
      </button>
    </form>
  );
}
