import { useSignal } from '@preact/signals';
import type { JSX } from 'preact';
import type { Role } from '../../../collector/contract/roles.ts';
import type { NewSecret, TokenShown } from '../../server/endpoints/tokens.ts';
import { sendJson } from '../sign-in/send-json.ts';
import { TextField } from '../sign-in/text-field.tsx';
import { AccountList } from './account-list.tsx';
import { AddForm } from './add-form.tsx';
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
      <AccountList
        list={list}
        empty="None yet."
        fault={fault}
        keyOf={({ id }) => String(id)}
        nameOf={({ name }) => name}
        says={({ kind, role: has, since, revoked }) =>
          `${kind === 'wall' ? 'wall screen' : `program, ${has}`}, since ${moment(since)}${revoked ? ', taken away' : ''}`
        }
        actions={({ id, name, revoked }) =>
          !revoked && (
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
          )
        }
      />
      <AddForm title="Add a wall screen" button="Make its link" name={screen} onAdd={(name) => add(name, 'wall')}>
        <TextField label="Where it hangs" value={screen} maxLength={60} />
      </AddForm>
      <AddForm title="Add a program" button="Make its token" name={program} onAdd={(name) => add(name, 'api')}>
        <TextField label="What it is" value={program} maxLength={60} />
        <RoleChoice value={role} />
      </AddForm>
    </section>
  );
}
