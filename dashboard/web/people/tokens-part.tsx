import { useSignal } from '@preact/signals';
import type { JSX } from 'preact';
import type { Role } from '../../../collector/contract/roles.ts';
import type { NewSecret, TokenShown } from '../../server/endpoints/tokens.ts';
import { PlainForm } from '../sign-in/plain-form.tsx';
import { sendJson } from '../sign-in/send-json.ts';
import { TextField } from '../sign-in/text-field.tsx';
import { ListState } from './list-state.tsx';
import { useLoaded } from './loaded.ts';
import { moment } from './moment.ts';
import type { PartProps } from './part-props.ts';
import { RoleChoice } from './role-choice.tsx';
import { RowAction } from './row-actions.tsx';

/** Links of wall screens and tokens of programs. */
export function TokensPart({ onSecret }: PartProps): JSX.Element {
  const list = useLoaded<TokenShown[]>('/api/tokens');
  const fault = useSignal<string | null>(null);
  const screen = useSignal('');
  const program = useSignal('');
  const role = useSignal<Role>('wall');
  const add = async (name: string, kind: 'wall' | 'api'): Promise<void> => {
    const made = await sendJson<NewSecret>('POST', '/api/tokens', { name, kind, role: role.value });
    onSecret(
      made.path === null
        ? { title: `Token of ${made.name}, for “Authorization: Bearer …”`, text: made.secret ?? '' }
        : { title: `Link that the wall screen ${made.name} opens`, text: location.origin + made.path },
    );
    await list.load();
  };
  return (
    <section aria-labelledby="tokens">
      <h2 id="tokens" class="people-part">
        Wall screens and programs
      </h2>
      <p class="fault" role="alert">
        {fault.value}
      </p>
      <ListState list={list} empty="None yet." />
      <ul class="people-list">
        {(list.value.value ?? []).map(({ id, kind, name, role: has, since, revoked }) => (
          <li key={id}>
            <p>
              <strong>{name}</strong>
              <span class="soft">
                {' '}
                {kind === 'wall' ? 'wall screen' : `program, ${has}`}, since {moment(since)}
                {revoked && ', taken away'}
              </span>
            </p>
            {!revoked && (
              <p class="people-actions">
                <RowAction
                  label="Take away"
                  of={name}
                  sure={`Take ${name}’s access away?`}
                  act={async () => {
                    await sendJson('DELETE', `/api/tokens/${id}`);
                    await list.load();
                  }}
                  onFault={(sentence) => {
                    fault.value = sentence;
                  }}
                />
              </p>
            )}
          </li>
        ))}
      </ul>
      <PlainForm
        button="Make its link"
        busy="Making…"
        label="Add a wall screen"
        small
        onSend={async () => {
          await add(screen.value, 'wall');
          screen.value = '';
        }}
      >
        <h3 class="people-add">Add a wall screen</h3>
        <TextField label="Where it hangs" value={screen} maxLength={60} />
      </PlainForm>
      <PlainForm
        button="Make its token"
        busy="Making…"
        label="Add a program"
        small
        onSend={async () => {
          await add(program.value, 'api');
          program.value = '';
        }}
      >
        <h3 class="people-add">Add a program</h3>
        <TextField label="What it is" value={program} maxLength={60} />
        <RoleChoice value={role} />
      </PlainForm>
    </section>
  );
}
