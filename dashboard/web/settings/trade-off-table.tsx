import type { JSX } from 'preact';
import type { CurvePoint } from '../../../analyzer/index.ts';
import { shownValue } from './settings-model.ts';
import { warningHours, withInterval } from './tally-words.ts';

interface Props {
  readonly points: readonly CurvePoint[];
  readonly present: CurvePoint | null;
  readonly proposed: CurvePoint | null;
  readonly suggested: CurvePoint | null;
  readonly onTake: (point: CurvePoint) => void;
}

/** A name for settings that are tried on a curve. */
export const keyOf = ({ settings }: Pick<CurvePoint, 'settings'>): string =>
  `${settings.falseAlarmsPerGunYear} ${settings.smallestChange}`;

/** The numbers of the trade-off, with their intervals: first the settings that have a name. */
export function TradeOffTable({ points, present, proposed, suggested, onTake }: Props): JSX.Element {
  const alarms = ({ total }: CurvePoint): number => total.falsePerGunYear?.value ?? 0;
  const named = [
    ...(present ? [{ name: 'Present', point: present }] : []),
    ...(proposed ? [{ name: 'Proposed', point: proposed }] : []),
    ...(suggested ? [{ name: 'Suggested', point: suggested }] : []),
  ];
  const tried = points
    .filter((point) => point !== suggested)
    .sort((a, b) => alarms(a) - alarms(b))
    .map((point) => ({ name: 'Tried', point }));
  return (
    <details>
      <summary>As a table ({points.length} settings)</summary>
      <div class="table-room">
        <table class="figures stacked">
          <thead>
            <tr>
              <th scope="col">Settings</th>
              <th scope="col">Accepted per gun and year</th>
              <th scope="col">Smallest change</th>
              <th scope="col">False per gun and year</th>
              <th scope="col">Warning, spray h</th>
              <th scope="col">In time, late, missed</th>
              <th scope="col">
                <span class="unseen">Take over</span>
              </th>
            </tr>
          </thead>
          <tbody>
            {[...named, ...tried].map(({ name, point }) => (
              <tr key={`${name} ${keyOf(point)}`}>
                <th scope="row">{name}</th>
                <td>{point.settings.falseAlarmsPerGunYear}</td>
                <td>{shownValue(point.settings.smallestChange, 100)} %</td>
                <td>{withInterval(point.total.falsePerGunYear, 2)}</td>
                <td>{warningHours(point.total.warningSprayHours)}</td>
                <td>
                  {point.total.inTime}, {point.total.late}, {point.total.missed}
                </td>
                <td>
                  {(name === 'Tried' || name === 'Suggested') && (
                    <button type="button" class="button button-small no-print" onClick={() => onTake(point)}>
                      Propose
                    </button>
                  )}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </details>
  );
}
