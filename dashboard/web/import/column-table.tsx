import type { JSX } from 'preact';
import { CHANNELS, type Channel } from '../../../collector/contract/channels.ts';
import { unitsOf } from '../../../collector/contract/units.ts';
import { channelName } from '../words/names.ts';
import type { ColumnDraft, MappingDraft } from './mapping-draft.ts';

interface Props {
  readonly draft: MappingDraft;
  readonly headings: readonly string[];
  readonly samples: readonly (readonly string[])[];
  readonly stations: readonly { readonly value: string; readonly name: string }[];
  readonly onChange: (index: number, part: Partial<ColumnDraft>) => void;
}

/** What each column measures, in which unit, and on which gun. */
export function ColumnTable({ draft, headings, samples, stations, onChange }: Props): JSX.Element {
  const ownGuns = draft.gun === '' && draft.gunColumn === '';
  const used = new Set([draft.timeColumn, draft.clockColumn, draft.gunColumn]);
  return (
    <div class="table-room">
      <table class="figures stacked">
        <caption>What the columns measure</caption>
        <thead>
          <tr>
            <th scope="col">Column</th>
            <th scope="col">First value</th>
            <th scope="col">Measures</th>
            <th scope="col">Unit</th>
            {ownGuns && <th scope="col">Gun</th>}
          </tr>
        </thead>
        <tbody>
          {draft.columns.map((one, index) => {
            if (used.has(one.column)) return null;
            const { dimension, canonical } = CHANNELS.find(({ name }) => name === one.channel) ?? {};
            const place = headings.indexOf(one.column);
            return (
              <tr key={one.column}>
                <th scope="row">{one.column}</th>
                <td>{samples.find((row) => (row[place] ?? '').trim() !== '')?.[place] ?? ''}</td>
                <td>
                  <select
                    class="cell"
                    aria-label={`What ${one.column} measures`}
                    value={one.channel}
                    onChange={({ currentTarget }) =>
                      onChange(index, { channel: currentTarget.value as Channel | '', unit: '' })
                    }
                  >
                    <option value="">Not taken</option>
                    {CHANNELS.map(({ name }) => (
                      <option key={name} value={name}>
                        {channelName(name)}
                      </option>
                    ))}
                  </select>
                </td>
                <td>
                  {dimension && (
                    <select
                      class="cell"
                      aria-label={`Unit of ${one.column}`}
                      value={one.unit === '' ? canonical : one.unit}
                      onChange={({ currentTarget }) => onChange(index, { unit: currentTarget.value })}
                    >
                      {unitsOf(dimension).map((unit) => (
                        <option key={unit} value={unit}>
                          {unit}
                        </option>
                      ))}
                    </select>
                  )}
                </td>
                {ownGuns && (
                  <td>
                    <select
                      class="cell"
                      aria-label={`Gun of ${one.column}`}
                      value={one.gun}
                      onChange={({ currentTarget }) => onChange(index, { gun: currentTarget.value })}
                    >
                      <option value="">Choose</option>
                      {stations.map(({ value, name }) => (
                        <option key={value} value={value}>
                          {name}
                        </option>
                      ))}
                    </select>
                  </td>
                )}
              </tr>
            );
          })}
        </tbody>
      </table>
    </div>
  );
}
