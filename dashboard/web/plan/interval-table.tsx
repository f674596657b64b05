import type { JSX } from 'preact';
import type { RuleRow } from '../../server/upkeep/upkeep-model.ts';
import { mayDo } from '../sign-in/me.ts';
import { causeName } from '../words/names.ts';
import type { Units } from '../words/units.ts';
import { intervalWords } from './interval-counts.ts';
import { IntervalForm } from './interval-form.tsx';

interface Props {
  readonly rows: readonly RuleRow[];
  readonly guns: readonly { readonly id: string; readonly name: string }[];
  readonly units: Units;
  readonly onSet: () => void;
}

/** The usual interval of each part, what is set for the site or a gun, and a form to set one. */
export function IntervalTable({ rows, guns, units, onSet }: Props): JSX.Element {
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
                <td>{intervalWords(usual, units)}</td>
                <td>
                  {set
                    .filter(({ stated }) => stated.value !== null)
                    .map(
                      ({ gun, stated }) =>
                        `${name(gun)}: ${intervalWords({ ...usual, ...stated.value }, units)} (${stated.who})`,
                    )
                    .join('; ') || '–'}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      {mayDo('engineer') && <IntervalForm rows={rows} guns={guns} units={units} onSet={onSet} />}
    </div>
  );
}
