import { useSignal } from '@preact/signals';
import type { JSX } from 'preact';
import type { OwnSession } from '../../server/endpoints/me.ts';
import { ApiFault } from '../api.ts';
import { Frame } from '../frame/frame.tsx';
import { me } from '../sign-in/me.ts';
import { PlainForm } from '../sign-in/plain-form.tsx';
import { sendJson } from '../sign-in/send-json.ts';
import { TextField } from '../sign-in/text-field.tsx';
import { ListState } from './list-state.tsx';
import { useLoaded } from './loaded.ts';
import { moment } from './moment.ts';
import { RowAction } from './row-actions.tsx';

/** One's own account: where one is signed in, and one's password. */
export function AccountScreen(): JSX.Element {
  const one = me.value;
  return (
    <Frame title="My account" page="account">
      {one?.by === 'local' && (
        <p>
          No accounts are set up: whoever sits at this machine may do everything. Under <a href="/people">People</a> an
          administrator’s account is made, and from then on everybody signs in.
        </p>
      )}
      {one?.by === 'wall' && <p>This screen was let in by a wall’s link: it shows everything and changes nothing.</p>}
      {one?.by === 'session' && (
        <>
          <p>
            {one.who}, {one.role}
          </p>
          <Sessions />
          <Password />
        </>
      )}
      {(one?.by === 'session' || one?.by === 'wall') && (
        <PlainForm
          button="Sign out"
          busy="Signing out…"
          label="Sign out"
          small
          onSend={async () => {
            await sendJson('POST', '/api/sign-out');
            location.assign('/');
          }}
        >
          <h2 class="people-part">Sign out</h2>
        </PlainForm>
      )}
    </Frame>
  );
}

function Sessions(): JSX.Element {
  const list = useLoaded<OwnSession[]>('/api/me/sessions');
  const fault = useSignal<string | null>(null);
  return (
    <section aria-labelledby="sessions">
      <h2 id="sessions" class="people-part">
        Signed in at
      </h2>
      <p class="fault" role="alert">
        {fault.value}
      </p>
      <ListState list={list} empty="Nowhere." />
      <ul class="people-list">
        {(list.value.value ?? []).map(({ id, lastSeen, address, agent, current }) => (
          <li key={id}>
            <p>
              {current ? 'This browser' : agent || 'A browser that does not name itself'}
              <span class="soft">
                {' '}
                from {address}, last seen {moment(lastSeen)}
              </span>
            </p>
            {!current && (
              <RowAction
                label="Sign out there"
                of={`${agent} ${address}`}
                act={async () => {
                  await sendJson('DELETE', `/api/me/sessions/${id}`);
                  await list.load();
                }}
                onFault={(sentence) => {
                  fault.value = sentence;
                }}
              />
            )}
          </li>
        ))}
      </ul>
    </section>
  );
}

function Password(): JSX.Element {
  const current = useSignal('');
  const next = useSignal('');
  const again = useSignal('');
  const done = useSignal(false);
  const send = async (): Promise<void> => {
    done.value = false;
    if (next.value !== again.value) throw new ApiFault('The two new ones are not the same.', null);
    await sendJson('POST', '/api/me/password', { current: current.value, next: next.value });
    for (const field of [current, next, again]) field.value = '';
    done.value = true;
  };
  return (
    <section>
      <PlainForm button="Change the password" busy="Checking…" label="Change the password" small onSend={send}>
        <h2 class="people-part">Change the password</h2>
        <p class="soft">You are signed out everywhere else then.</p>
        <TextField
          label="Present password"
          value={current}
          type="password"
          autoComplete="current-password"
          maxLength={1000}
        />
        <TextField label="New password" value={next} type="password" autoComplete="new-password" maxLength={1000} />
        <TextField
          label="The new one again"
          value={again}
          type="password"
          autoComplete="new-password"
          maxLength={1000}
        />
        <p role="status">{done.value && 'Changed.'}</p>
      </PlainForm>
    </section>
  );
}
