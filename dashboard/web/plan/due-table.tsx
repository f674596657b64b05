import type { JSX } from 'preact';
import type { DueShown } from '../../server/upkeep/upkeep-model.ts';
import { now } from '../link/live.ts';
import { inUnits } from '../words/in-units.ts';
import { causeName } from '../words/names.ts';
import { asSentence } from '../words/sentence.ts';
import { day, type TimeStyle } from '../words/site-time.ts';

interface Props {
  readonly caption: string;
  readonly due: readonly DueShown[];
  readonly style: TimeStyle;
  /** False on the page of one gun. */
  readonly named: boolean;
}

/** Work that the plan asks for, by due time, with the reasons. */
export function DueTable({ caption, due, style, named }: Props): JSX.Element | null {
  if (due.length === 0) return null;
  return (
    <div class="table-wrap">
      <table class="rows stacked">
        <caption>{caption}</caption>
        <thead>
          <tr>
            <th scope="col">Due</th>
            {named && <th scope="col">Gun</th>}
            <th scope="col">Part</th>
            <th scope="col">Work</th>
            <th scope="col">Why then</th>
          </tr>
        </thead>
        <tbody>
          {due.map((one) => (
            <tr key={`${one.gun} ${one.part}`}>
              <td class="whole">
                {one.due === null ? 'not used' : day(one.due, style, now.value)}
                {one.overdue && <strong class="overdue">overdue</strong>}
              </td>
              {named && (
                <th scope="row" class="whole">
                  <a href={`/guns/${encodeURIComponent(one.gun)}`}>{one.gunName}</a>
                </th>
              )}
              <td>{causeName(one.part)}</td>
              <td>
                {one.work === 'change' ? 'Change' : 'Check'}
                {one.safetyRelevant && ' · safety-relevant'}
                {one.job !== null && ' · on the job list'}
              </td>
              <td>{one.why.map((why) => asSentence(inUnits(why, style.units))).join(' ')}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}
