import type { JSX } from 'preact';
import type { Site } from '../../server/endpoints/site.ts';
import { ChoiceField, TypedField } from '../shop/field.tsx';
import { ColumnTable } from './column-table.tsx';
import type { MappingDraft } from './mapping-draft.ts';

interface Props {
  readonly draft: MappingDraft;
  readonly headings: readonly string[];
  readonly samples: readonly (readonly string[])[];
  readonly site: Site;
  readonly onChange: (draft: MappingDraft) => void;
}

const DELIMITERS = [
  { value: ',', name: 'Comma' },
  { value: ';', name: 'Semicolon' },
  { value: '\t', name: 'Tab' },
  { value: '|', name: 'Bar' },
];
const ENCODINGS = ['utf-8', 'windows-1252', 'utf-16le'].map((value) => ({ value, name: value.toUpperCase() }));
const DECIMALS = [
  { value: '.', name: 'Point, 1.5' },
  { value: ',', name: 'Comma, 1,5' },
];
const TIMES = [
  { value: 'iso', name: 'ISO 8601 or Unix seconds' },
  { value: 'unix-ms', name: 'Unix milliseconds' },
  { value: 'sheet-days', name: 'Spreadsheet days, 46319' },
  { value: 'pattern', name: 'A pattern' },
];

/** How a logger's file is read: its text, its time, whose it is, and what each column measures. */
export function MappingForm({ draft, headings, samples, site, onChange }: Props): JSX.Element {
  const set = (part: Partial<MappingDraft>): void => onChange({ ...draft, ...part });
  /** One of several for what the draft keeps under a key. */
  const choice = (
    label: string,
    key: 'timeColumn' | 'clockColumn' | 'timeAs' | 'gunColumn' | 'delimiter' | 'decimal' | 'encoding',
    choices: readonly { readonly value: string; readonly name: string }[],
    none?: string,
  ): JSX.Element => (
    <ChoiceField
      {...{ label, choices }}
      {...(none === undefined ? {} : { none })}
      value={draft[key]}
      onChoose={(value) => set({ [key]: value })}
    />
  );
  const columns = headings.map((value) => ({ value, name: value }));
  const stations = [...site.guns, ...site.air].map(({ id, name }) => ({ value: id, name }));
  return (
    <>
      <label class="import-own">
        <input
          type="checkbox"
          checked={draft.own}
          onChange={({ currentTarget }) => set({ own: currentTarget.checked })}
        />{' '}
        The file has the form that readings are exported in, and needs no mapping
      </label>
      {!draft.own && (
        <>
          <h3>Time and gun</h3>
          <div class="fields">
            {choice('Column of the time', 'timeColumn', columns)}
            {choice('Second column, of the time of day', 'clockColumn', columns, 'None')}
            {choice('How it is written', 'timeAs', TIMES)}
            {draft.timeAs === 'pattern' && (
              <TypedField
                label="Pattern, such as dd.MM.yyyy HH:mm:ss"
                value={draft.pattern}
                maxLength={60}
                onType={(pattern) => set({ pattern })}
              />
            )}
            <TypedField
              label="Its time zone; empty where each time has an offset"
              value={draft.zone}
              placeholder={site.timezone}
              onType={(zone) => set({ zone })}
            />
            <ChoiceField
              label="Gun or air point of the whole file"
              value={draft.gun}
              choices={stations}
              none="Named by a column"
              onChoose={(gun) => set({ gun, ...(gun === '' ? {} : { gunColumn: '' }) })}
            />
            {draft.gun === '' && choice('Column that names it', 'gunColumn', columns, 'Each column has its own')}
            {draft.gunColumn !== '' &&
              Object.entries(draft.names).map(([name, gun]) => (
                <ChoiceField
                  key={name}
                  label={`“${name}” there is`}
                  value={gun}
                  choices={stations}
                  none="Not one of ours"
                  onChoose={(chosen) => set({ names: { ...draft.names, [name]: chosen } })}
                />
              ))}
            {draft.eitherWay !== null &&
              choice(
                `Decimals, where “${draft.eitherWay}” may be read either way`,
                'decimal',
                DECIMALS,
                'Still to say',
              )}
          </div>
          <ColumnTable
            draft={draft}
            samples={samples}
            headings={headings}
            stations={stations}
            onChange={(index, part) =>
              set({ columns: draft.columns.map((one, at) => (at === index ? { ...one, ...part } : one)) })
            }
          />
          <details>
            <summary>How the text is written</summary>
            <div class="fields">
              {choice('Between the cells', 'delimiter', DELIMITERS)}
              {draft.eitherWay === null && choice('Decimals', 'decimal', DECIMALS)}
              {choice('Encoding', 'encoding', ENCODINGS)}
              <TypedField
                label="Lines above the headings"
                value={String(draft.skipLines)}
                inputMode="numeric"
                onType={(text) => set({ skipLines: Number(text.replace(/\D/g, '')) })}
              />
              <TypedField
                label="Further cells that mean no value, with | between (dashes, n/a and NaN do by themselves)"
                value={draft.absent}
                placeholder="off | -999"
                onType={(absent) => set({ absent })}
              />
            </div>
          </details>
        </>
      )}
    </>
  );
}
