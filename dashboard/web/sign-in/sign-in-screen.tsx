import { useSignal } from '@preact/signals';
import type { JSX } from 'preact';
import { PlainForm } from './plain-form.tsx';
import { sendJson } from './send-json.ts';
import { TextField } from './text-field.tsx';

interface Props {
  /** The address was a wall's link that does not hold. */
  readonly brokenLink: boolean;
}

/** In place of any page while nobody is signed in; afterwards the page that was asked for opens. */
export function SignInScreen({ brokenLink }: Props): JSX.Element {
  const name = useSignal('');
  const password = useSignal('');
  return (
    <main class="sheet door">
      <h1>Sign in</h1>
      {brokenLink && <p>This wall link does not hold any more. Ask an administrator for a new one, or sign in.</p>}
      <PlainForm
        button="Sign in"
        busy="Checking…"
        label="Sign in"
        onSend={async () => {
          await sendJson('POST', '/api/sign-in', { name: name.value, password: password.value });
          if (brokenLink) location.assign('/');
          else location.reload();
        }}
      >
        <TextField label="Name" value={name} autoComplete="username" />
        <TextField label="Password" value={password} type="password" autoComplete="current-password" maxLength={1000} />
      </PlainForm>
      <p class="soft door-help">Forgotten? An administrator can make you a link to choose a new password.</p>
    </main>
  );
}
