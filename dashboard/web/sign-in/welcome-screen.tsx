import { useSignal } from '@preact/signals';
import type { JSX } from 'preact';
import { ApiFault } from '../api.ts';
import { PlainForm } from './plain-form.tsx';
import { sendJson } from './send-json.ts';
import { TextField } from './text-field.tsx';

/** What a one-time link opens: its owner chooses a password and is signed in. */
export function WelcomeScreen(): JSX.Element {
  const password = useSignal('');
  const again = useSignal('');
  const token = location.hash.slice(1);
  return (
    <main class="sheet door">
      <h1>Choose your password</h1>
      {token === '' ? (
        <p>This address is not complete: what follows “#” in the link that you were given is missing.</p>
      ) : (
        <PlainForm
          button="Choose it and sign in"
          busy="One moment…"
          label="Choose your password"
          onSend={async () => {
            if (password.value !== again.value) throw new ApiFault('The two are not the same.', null);
            await sendJson('POST', '/api/welcome', { token, password: password.value });
            location.assign('/');
          }}
        >
          <TextField
            label="Password"
            hint="10 characters or more; a sentence that only you would say is a good one"
            value={password}
            type="password"
            autoComplete="new-password"
            maxLength={1000}
          />
          <TextField
            label="The same again"
            value={again}
            type="password"
            autoComplete="new-password"
            maxLength={1000}
          />
        </PlainForm>
      )}
    </main>
  );
}
