import type { JSX } from 'preact';
import type { PartShown } from '../../server/upkeep/upkeep-model.ts';
import { now } from '../link/live.ts';
import { ACTION_WORDS, FOUND_WORDS } from '../log/draft.ts';
import { logPath } from '../route.ts';
import { decimal, whole } from '../words/figures.ts';
import { causeName } from '../words/names.ts';
import { day, type TimeStyle } from '../words/site-time.ts';
import { mass, told } from '../words/units.ts';

const NNBSP = '\u202f';
const hours = (value: number): string =>
  `${decimal(value, Math.abs(value) >= 0.05 && Math.abs(value) < 9.95 ? 1 : 0)}${NNBSP}h`;

/** The parts of a gun: since when, how much they have sprayed, what is left. */
export function PartsTable({ parts, style }: { parts: readonly PartShown[]; style: TimeStyle }): JSX.Element {
  const kilograms = (kg: number | null): string => (kg === null ? 'not known' : told(mass(kg, style.units), 0));
  return (
    <div class="table-wrap">
      <table class="rows stacked">
        <caption>Hours and powder come from spray runs; days wear no insert.</caption>
        <thead>
          <tr>
            <th scope="col">Part</th>
            <th scope="col">Fitted since</th>
            <th scope="col" class="number">
              Spray hours
            </th>
            <th scope="col" class="number">
              Powder
            </th>
            <th scope="col" class="number">
              Days
            </th>
            <th scope="col">Last seen to</th>
            <th scope="col">Expected left</th>
            <th scope="col">Due</th>
            <th scope="col">
              <span class="unseen">Log</span>
            </th>
          </tr>
        </thead>
        <tbody>
          {parts.map((part) => (
            <tr key={part.part}>
              <th scope="row">{causeName(part.part)}</th>
              <td>
                {part.fittedSince !== null
                  ? day(part.fittedSince, style, now.value)
                  : part.countedFrom !== null
                    ? `before ${day(part.countedFrom, style, now.value)}`
                    : 'not known'}
              </td>
              <td class="number">
                {(part.fittedSince === null || part.fittedSince < (part.countedFrom ?? 0)) && 'at least '}
                {hours(part.sinceFitted.sprayHours)}
              </td>
              <td class="number">{kilograms(part.sinceFitted.kilograms)}</td>
              <td class="number">{part.days ?? '–'}</td>
              <td>
                {part.lastCare === null
                  ? '–'
                  : `${ACTION_WORDS[part.lastCare.action]} ${day(part.lastCare.time, style, now.value)}${
                      part.lastCare.found === null ? '' : `, ${FOUND_WORDS[part.lastCare.found].toLowerCase()}`
                    }${
                      part.lastCare.measured === null
                        ? ''
                        : `, ${part.lastCare.measured.value}${NNBSP}${part.lastCare.measured.unit}`
                    }`}
              </td>
              <td>{expectedWords(part, kilograms)}</td>
              <td>{part.due === null ? '–' : day(part.due, style, now.value)}</td>
              <td class="no-print">
                <a href={logPath({ gun: part.gun, part: part.part, action: null })}>
                  Log<span class="unseen"> {causeName(part.part)}</span>
                </a>
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

/** "9 h (0–26), the air", "14 h or 120 kg, interval". */
export function expectedWords({ expected }: PartShown, kilograms: (kg: number | null) => string): string {
  if (expected === null) return 'goes by signs';
  const lives = { gun: 'lives on this gun', family: 'lives with this powder family', all: 'lives on all guns' };
  const from = { air: 'the air', life: lives[expected.livesOf ?? 'all'], interval: 'interval' }[expected.from];
  const { sprayHours } = expected;
  const left = (amount: number, words: string): string => (amount < 0 ? `past by ${words.replace('-', '')}` : words);
  if (expected.from !== 'interval' && sprayHours !== null) {
    const { p10, p50, p90 } = sprayHours;
    const span = p10 === null || p90 === null ? '' : ` (${Math.round(p10)} to ${Math.round(p90)})`;
    return `${hours(p50)}${span}, ${from}`;
  }
  const counts = [
    ...(sprayHours === null ? [] : [left(sprayHours.p50, hours(sprayHours.p50))]),
    ...(expected.kilograms === null ? [] : [left(expected.kilograms, kilograms(expected.kilograms))]),
    ...(expected.days === null ? [] : [left(expected.days, `${whole(expected.days)}${NNBSP}d`)]),
  ];
  return `${counts.join(' or ')}, ${from}`;
}
