import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import type { RuleRow } from '../../server/upkeep/upkeep-model.ts';
import { faultOf, send } from '../shop/send.ts';
import { mayDo } from '../sign-in/me.ts';
import { causeName } from '../words/names.ts';

interface Props {
  readonly rows: readonly RuleRow[];
  readonly guns: readonly { readonly id: string; readonly name: string }[];
  readonly onSet: () => void;
}

type Counts = {
  sprayHours?: number | null | undefined;
  kilograms?: number | null | undefined;
  days?: number | null | undefined;
};

/** "60 spray hours", "170 spray hours or 1500 kg". */
function inWords({ sprayHours, kilograms, days }: Counts): string {
  const counts = [
    ...(sprayHours == null ? [] : [`${sprayHours} spray hours`]),
    ...(kilograms == null ? [] : [`${kilograms} kg`]),
    ...(days == null ? [] : [`${days} days`]),
  ];
  return counts.length === 0 ? 'at signs only' : counts.join(' or ');
}

/** The usual interval of each part, what is set for the site or a gun, and a form to set one. */
export function IntervalTable({ rows, guns, onSet }: Props): JSX.Element {
  const name = (gun: string | null): string =>
    gun === null ? 'all guns' : (guns.find(({ id }) => id === gun)?.name ?? gun);
  return (
    <div class="no-print">
      <div class="table-wrap">
        <table class="rows stacked">
          <caption>The usual ones are common practice; set your own per part, for all guns or for one.</caption>
          <thead>
            <tr>
              <th scope="col">Part</th>
              <th scope="col">Work</th>
              <th scope="col">Usual</th>
              <th scope="col">Set here</th>
            </tr>
          </thead>
          <tbody>
            {rows.map(({ part, usual, set }) => (
              <tr key={part}>
                <th scope="row">{causeName(part)}</th>
                <td>
                  {usual.work === 'change' ? 'Change' : 'Check'}
                  {usual.safetyRelevant && ' · safety-relevant'}
                </td>
                <td>{inWords(usual)}</td>
                <td>
                  {set
                    .filter(({ stated }) => stated.value !== null)
                    .map(({ gun, stated }) => `${name(gun)}: ${inWords({ ...usual, ...stated.value })} (${stated.who})`)
                    .join('; ') || '–'}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      {mayDo('engineer') && <IntervalForm rows={rows} guns={guns} onSet={onSet} />}
    </div>
  );
}

function IntervalForm({ rows, guns, onSet }: Props): JSX.Element {
  const [part, setPart] = useState(rows[0]?.part ?? 'pump-insert');
  const [gun, setGun] = useState('all');
  const [counts, setCounts] = useState({ sprayHours: '', kilograms: '', days: '' });
  const [fault, setFault] = useState<string | null>(null);
  const version =
    rows.find((row) => row.part === part)?.set.find((one) => (one.gun ?? 'all') === gun)?.stated.version ?? 0;
  const act = async (interval: Record<string, number | null> | null): Promise<void> => {
    setFault(
      await faultOf(() => send('PUT', `/api/intervals/${encodeURIComponent(gun)}/${part}`, { version, interval })),
    );
    onSet();
  };
  const number = (text: string): number | null => (text.trim() === '' ? null : Number(text));
  const fields = [
    ['sprayHours', 'Spray hours'],
    ['kilograms', 'Kilograms of powder'],
    ['days', 'Days'],
  ] as const;
  return (
    <details>
      <summary>Set an interval</summary>
      {fault !== null && (
        <p class="fault" role="alert">
          {fault}
        </p>
      )}
      <form
        class="deeds-form"
        onSubmit={(event) => {
          event.preventDefault();
          void act(Object.fromEntries(fields.map(([key]) => [key, number(counts[key])])));
        }}
      >
        <label class="field">
          <span>Part</span>
          <select value={part} onChange={(event) => setPart(event.currentTarget.value as typeof part)}>
            {rows.map((row) => (
              <option key={row.part} value={row.part}>
                {causeName(row.part)}
              </option>
            ))}
          </select>
        </label>
        <label class="field">
          <span>Gun</span>
          <select value={gun} onChange={(event) => setGun(event.currentTarget.value)}>
            <option value="all">All guns</option>
            {guns.map(({ id, name }) => (
              <option key={id} value={id}>
                {name}
              </option>
            ))}
          </select>
        </label>
        {fields.map(([key, label]) => (
          <label key={key} class="field">
            <span>{label} (empty: does not count)</span>
            <input
              type="number"
              min="0"
              step="any"
              value={counts[key]}
              onInput={(event) => setCounts({ ...counts, [key]: event.currentTarget.value })}
            />
          </label>
        ))}
        <p class="deeds-row">
          <button type="submit" class="button">
            Set it
          </button>
          {version > 0 && (
            <button type="button" class="button" onClick={() => void act(null)}>
              Back to the usual
            </button>
          )}
        </p>
      </form>
    </details>
  );
}
