import { useSignal } from '@preact/signals';
import type { JSX } from 'preact';
import { ROLES, type Role } from '../../../collector/contract/roles.ts';
import type { Invitation, PersonShown } from '../../server/endpoints/people.ts';
import { me } from '../sign-in/me.ts';
import { sendJson } from '../sign-in/send-json.ts';
import { TextField } from '../sign-in/text-field.tsx';
import { AddForm } from './add-form.tsx';
import { ListState } from './list-state.tsx';
import { useLoaded } from './loaded.ts';
import type { PartProps } from './part-props.ts';
import { RoleChoice } from './role-choice.tsx';
import { RowAction } from './row-actions.tsx';

const STATES: Readonly<Record<PersonShown['state'], string>> = {
  active: '',
  invited: 'has not chosen a password yet',
  revoked: 'may not sign in any more',
};

/** Everybody who has an account, and the form that adds one. */
export function PeoplePart({ onSecret }: PartProps): JSX.Element {
  const list = useLoaded<PersonShown[]>('/api/people');
  const fault = useSignal<string | null>(null);
  const name = useSignal('');
  const role = useSignal<Role>(me.value?.accounts === false ? 'administrator' : 'fitter');
  const say = (sentence: string): void => {
    fault.value = sentence;
  };
  const showLink = ({ name: whose, path }: Invitation): void =>
    onSecret({ title: `Link for ${whose} to choose a password, once, within 3 days`, text: location.origin + path });
  const change = async (method: 'POST' | 'PUT' | 'DELETE', whose: string, what: string, body?: unknown) => {
    fault.value = null;
    const answer = await sendJson<unknown>(method, `/api/people/${encodeURIComponent(whose)}${what}`, body);
    await list.load();
    return answer;
  };
  return (
    <section aria-labelledby="people">
      <h2 id="people" class="people-part">
        People
      </h2>
      <p class="fault" role="alert">
        {fault.value}
      </p>
      <ListState list={list} empty="Nobody has an account yet." />
      <ul class="people-list">
        {(list.value.value ?? []).map(({ name: whose, role: has, state, sessions }) => (
          <li key={whose}>
            <p>
              <strong>{whose}</strong>
              <span class="soft">
                {' '}
                {[STATES[state], sessions > 0 && `signed in ${sessions}×`].filter(Boolean).join(', ')}
              </span>
            </p>
            <p class="people-actions">
              {state === 'revoked' ? (
                <RowAction
                  label="Give back"
                  of={whose}
                  act={async () => void (await change('POST', whose, '/restore'))}
                  onFault={say}
                />
              ) : (
                <>
                  <label class="inline-choice">
                    <span class="unseen">Role of {whose}</span>
                    <select
                      value={has}
                      onChange={(event) => {
                        const wanted = event.currentTarget.value;
                        void change('PUT', whose, '/role', { role: wanted }).catch(async (error: Error) => {
                          say(error.message);
                          await list.load();
                        });
                      }}
                    >
                      {ROLES.map((one) => (
                        <option key={one}>{one}</option>
                      ))}
                    </select>
                  </label>
                  <RowAction
                    label="New link"
                    of={whose}
                    act={async () => showLink((await change('POST', whose, '/link')) as Invitation)}
                    onFault={say}
                  />
                  {sessions > 0 && (
                    <RowAction
                      label="Sign out"
                      of={whose}
                      sure={`Sign ${whose} out everywhere?`}
                      act={async () => void (await change('DELETE', whose, '/sessions'))}
                      onFault={say}
                    />
                  )}
                  <RowAction
                    label="Take away"
                    of={whose}
                    sure={`Take ${whose}’s account away?`}
                    act={async () => void (await change('DELETE', whose, ''))}
                    onFault={say}
                  />
                </>
              )}
            </p>
          </li>
        ))}
      </ul>
      <AddForm
        title="Add a person"
        button="Add this person"
        name={name}
        onAdd={async (who) => {
          showLink(await sendJson<Invitation>('POST', '/api/people', { name: who, role: role.value }));
          await list.load();
        }}
      >
        <TextField label="Name" value={name} maxLength={60} />
        <RoleChoice value={role} />
      </AddForm>
    </section>
  );
}
