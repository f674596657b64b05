import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import type { RuleRow } from '../../server/upkeep/upkeep-model.ts';
import { useFault } from '../link/use-fault.ts';
import { faultOf, send } from '../shop/send.ts';
import { causeName } from '../words/names.ts';
import { kilogramsOf } from '../words/shop-units.ts';
import type { Units } from '../words/units.ts';
import { COUNTS, type Count, countShown, ruleOf } from './interval-counts.ts';

interface Props {
  readonly rows: readonly RuleRow[];
  readonly guns: readonly { readonly id: string; readonly name: string }[];
  readonly units: Units;
  readonly onSet: () => void;
}

/** A form that sets the interval of a part, for all guns or for one. It begins with what holds. */
export function IntervalForm({ rows, guns, units, onSet }: Props): JSX.Element {
  const [part, setPart] = useState(rows[0]?.part ?? 'pump-insert');
  const [gun, setGun] = useState('all');
  const [typed, setTyped] = useState<Partial<Record<Count, string>>>({});
  const [fault, setFault] = useFault();
  const row = rows.find((one) => one.part === part);
  const version = row?.set.find((one) => (one.gun ?? 'all') === gun)?.stated.version ?? 0;
  const rule = row === undefined ? {} : ruleOf(row, gun === 'all' ? null : gun);
  const act = async (interval: Partial<Record<Count, number | null>> | null): Promise<void> => {
    const refused = await faultOf(() =>
      send('PUT', `/api/intervals/${encodeURIComponent(gun)}/${part}`, { version, interval }),
    );
    setFault(refused);
    if (refused === null) setTyped({});
    onSet();
  };
  const amount = (count: Count): number | null => {
    const text = typed[count];
    if (text === undefined) return rule[count] ?? null;
    if (text.trim() === '') return null;
    return count === 'kilograms' ? kilogramsOf(Number(text), units) : Number(text);
  };
  const labels = {
    sprayHours: 'Spray hours',
    kilograms: units === 'us' ? 'Pounds of powder' : 'Kilograms of powder',
    days: 'Days',
  };
  const choose = (act: () => void): void => {
    act();
    setTyped({});
  };
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
          void act(Object.fromEntries(COUNTS.map((count) => [count, amount(count)])));
        }}
      >
        <label class="field">
          <span>Part</span>
          <select
            value={part}
            onChange={({ currentTarget }) => choose(() => setPart(currentTarget.value as typeof part))}
          >
            {rows.map((one) => (
              <option key={one.part} value={one.part}>
                {causeName(one.part)}
              </option>
            ))}
          </select>
        </label>
        <label class="field">
          <span>Gun</span>
          <select value={gun} onChange={({ currentTarget }) => choose(() => setGun(currentTarget.value))}>
            <option value="all">All guns</option>
            {guns.map(({ id, name }) => (
              <option key={id} value={id}>
                {name}
              </option>
            ))}
          </select>
        </label>
        {COUNTS.map((count) => (
          <label key={count} class="field">
            <span>{labels[count]} (empty: does not count)</span>
            <input
              type="number"
              min="0"
              step="any"
              value={typed[count] ?? countShown(count, rule[count], units)}
              onInput={({ currentTarget }) => setTyped({ ...typed, [count]: currentTarget.value })}
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
