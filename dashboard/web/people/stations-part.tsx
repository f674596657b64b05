import { useSignal } from '@preact/signals';
import type { JSX } from 'preact';
import type { Site } from '../../server/endpoints/site.ts';
import type { NewStationSecret, StationAccountShown } from '../../server/endpoints/station-accounts.ts';
import { PlainForm } from '../sign-in/plain-form.tsx';
import { sendJson } from '../sign-in/send-json.ts';
import { TextField } from '../sign-in/text-field.tsx';
import { ListState } from './list-state.tsx';
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
      <p class="fault" role="alert">
        {fault.value}
      </p>
      <ListState list={list} empty="None yet: no sensor node can connect." />
      <ul class="people-list">
        {(list.value.value ?? []).map(({ name, kind: what, secretSince, revoked }) => (
          <li key={name}>
            <p>
              <strong>{name}</strong>
              <span class="soft">
                {' '}
                {what}, {revoked ? 'taken away' : `password of ${moment(secretSince)}`}
              </span>
            </p>
            <p class="people-actions">
              <RowAction
                label="New password"
                of={name}
                sure={revoked ? `Let ${name} in again?` : `End ${name}’s present password?`}
                act={async () => {
                  show(await sendJson<NewStationSecret>('POST', `/api/station-accounts/${name}/secret`));
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
            </p>
          </li>
        ))}
      </ul>
      <PlainForm
        button="Make its password"
        busy="Making…"
        label="Add a station"
        small
        onSend={async () => {
          await add(station.value, 'station');
          station.value = '';
        }}
      >
        <h3 class="people-add">Add a station</h3>
        <label class="field">
          <span>Station</span>
          <select
            value={station.value}
            onChange={(event) => {
              station.value = event.currentTarget.value;
            }}
          >
            <option value="">Choose</option>
            {without.map(({ id, name }) => (
              <option key={id} value={id}>
                {name === id ? id : `${name} (${id})`}
              </option>
            ))}
          </select>
        </label>
      </PlainForm>
      <PlainForm
        button="Make its password"
        busy="Making…"
        label="Add a reader or gateway"
        small
        onSend={async () => {
          await add(other.value, kind.value);
          other.value = '';
        }}
      >
        <h3 class="people-add">Add a reader or gateway</h3>
        <TextField label="Its name" hint="a-z, 0-9 and “-”" value={other} maxLength={40} />
        <label class="field">
          <span>What it does</span>
          <select
            value={kind.value}
            onChange={(event) => {
              kind.value = event.currentTarget.value === 'gateway' ? 'gateway' : 'reader';
            }}
          >
            <option value="reader">reader: hears gun conditions (andon light, PLC)</option>
            <option value="gateway">gateway: sends topics that the configuration maps</option>
          </select>
        </label>
      </PlainForm>
    </section>
  );
}
