import { useSignal } from '@preact/signals';
import type { JSX } from 'preact';
import { useEffect, useRef } from 'preact/hooks';

/** A secret or link that is shown now and never again. */
export interface Shown {
  readonly title: string;
  readonly text: string;
}

/** Shows it until it is put away, with a button that copies it. */
export function SecretOnce({ title, text, onDone }: Shown & { onDone: () => void }): JSX.Element {
  const copied = useSignal<string | null>(null);
  const place = useRef<HTMLElement>(null);
  useEffect(() => place.current?.focus(), [text]);
  const copy = async (): Promise<void> => {
    try {
      await navigator.clipboard.writeText(text);
      copied.value = 'Copied.';
    } catch {
      // Browsers hand out the clipboard under TLS and on the machine itself only.
      copied.value = 'This browser does not let the page copy: select the text instead.';
    }
  };
  return (
    <section class="secret" ref={place} tabIndex={-1} aria-label={title}>
      <h2>{title}</h2>
      <p>Shown this once: hand it over or note it now.</p>
      <code>{text}</code>
      <p class="secret-ways">
        <button type="button" class="button" onClick={() => void copy()}>
          Copy
        </button>
        <button type="button" class="button" onClick={onDone}>
          Done, hide it
        </button>
        <span role="status">{copied.value}</span>
      </p>
    </section>
  );
}
