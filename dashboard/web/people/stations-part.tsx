import { useSignal } from '@preact/signals';
import type { JSX } from 'preact';
import type { Site } from '../../server/endpoints/site.ts';
import type { NewStationSecret, StationAccountShown } from '../../server/endpoints/station-accounts.ts';
import { sendJson } from '../sign-in/send-json.ts';
import { TextField } from '../sign-in/text-field.tsx';
import { AccountList } from './account-list.tsx';
import { AddForm } from './add-form.tsx';
import { Choice } from './choice.tsx';
import { useLoaded } from './loaded.ts';
import { moment } from './moment.ts';
import type { PartProps } from './part-props.ts';
import { RowAction } from './row-actions.tsx';

/** What may connect over MQTT: sensor nodes of stations, and readers of conditions. */
export function StationsPart({ onSecret }: PartProps): JSX.Element {
  const list = useLoaded<StationAccountShown[]>('/api/station-accounts');
  const site = useLoaded<Site>('/api/site');
  const fault = useSignal<string | null>(null);
  const station = useSignal('');
  const other = useSignal('');
  const kind = useSignal<'reader' | 'gateway'>('reader');
  const say = (sentence: string): void => {
    fault.value = sentence;
  };
  const show = ({ name, secret }: NewStationSecret): void =>
    onSecret({ title: `MQTT password of ${name}; its user name is “${name}”`, text: secret });
  const add = async (name: string, kind: StationAccountShown['kind']): Promise<void> => {
    show(await sendJson<NewStationSecret>('POST', '/api/station-accounts', { name, kind }));
    await list.load();
  };
  const have = new Set((list.value.value ?? []).map(({ name }) => name));
  const plant = site.value.value;
  const without = plant ? [...plant.guns, ...plant.air].filter(({ id }) => !have.has(id)) : [];
  return (
    <section aria-labelledby="stations">
      <h2 id="stations" class="people-part">
        Stations over MQTT
      </h2>
      <p class="soft">
        A station sends its own readings and nothing else; a reader hears gun conditions and sends nothing; a gateway
        sends the topics that the configuration maps, of whatever station.
      </p>
      <AccountList
        list={list}
        empty="None yet: no sensor node can connect."
        fault={fault}
        keyOf={({ name }) => name}
        nameOf={({ name }) => name}
        says={({ kind: what, secretSince, revoked }) =>
          `${what}, ${revoked ? 'taken away' : `password of ${moment(secretSince)}`}`
        }
        actions={({ name, revoked }) => (
          <>
            <RowAction
              label={revoked ? 'Let in again' : 'New password'}
              of={name}
              sure={revoked ? `Let ${name} in again?` : `End ${name}’s present password?`}
              act={async () => {
                const query = revoked ? '?bringBack=true' : '';
                show(await sendJson<NewStationSecret>('POST', `/api/station-accounts/${name}/secret${query}`));
                await list.load();
              }}
              onFault={say}
            />
            {!revoked && (
              <RowAction
                label="Take away"
                of={name}
                sure={`Take ${name}’s account away?`}
                act={async () => {
                  await sendJson('DELETE', `/api/station-accounts/${name}`);
                  await list.load();
                }}
                onFault={say}
              />
            )}
          </>
        )}
      />
      <AddForm title="Add a station" button="Make its password" name={station} onAdd={(name) => add(name, 'station')}>
        <Choice
          label="Station"
          value={station}
          options={[
            { value: '', words: 'Choose' },
            ...without.map(({ id, name }) => ({ value: id, words: name === id ? id : `${name} (${id})` })),
          ]}
        />
      </AddForm>
      <AddForm
        title="Add a reader or gateway"
        button="Make its password"
        name={other}
        onAdd={(name) => add(name, kind.value)}
      >
        <TextField label="Its name" hint="a-z, 0-9 and “-”" value={other} maxLength={40} />
        <Choice
          label="What it does"
          value={kind}
          options={[
            { value: 'reader', words: 'reader: hears gun conditions (andon light, PLC)' },
            { value: 'gateway', words: 'gateway: sends topics that the configuration maps' },
          ]}
        />
      </AddForm>
    </section>
  );
}
