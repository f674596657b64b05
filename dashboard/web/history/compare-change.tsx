import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import type { HistoryAnswer } from '../../../analyzer/index.ts';
import type { Site } from '../../server/endpoints/site.ts';
import { ApiFault } from '../api.ts';
import { decimal } from '../words/figures.ts';
import { causeName } from '../words/names.ts';
import { dayAndClock } from '../words/site-time.ts';
import { loadHistory } from './load-history.ts';
import { PANELS } from './panels.ts';

const DAY_MS = 86_400_000;
const REACHES = [1, 3, 7, 14] as const;

interface Compared {
  readonly before: HistoryAnswer;
  readonly after: HistoryAnswer;
}

/** What a piece of work changed: the same figures as many days before it as after it. */
export function CompareChange({ answer, site }: { answer: HistoryAnswer; site: Site }): JSX.Element | null {
  const [days, setDays] = useState<number>(3);
  const [found, setFound] = useState<Compared | string | null>(null);
  const [chosen, setChosen] = useState<number | null>(null);
  if (answer.log.length === 0) return null;
  const compare = async (id: number | null, reach: number): Promise<void> => {
    const entry = answer.log.find((one) => one.id === id);
    setChosen(entry?.id ?? null);
    setDays(reach);
    setFound(null);
    if (entry === undefined) return;
    try {
      const [before, after] = await Promise.all([
        loadHistory(answer.gun, { from: entry.time - reach * DAY_MS, to: entry.time }, 200),
        loadHistory(answer.gun, { from: entry.time, to: entry.time + reach * DAY_MS }, 200),
      ]);
      setFound({ before, after });
    } catch (error) {
      if (!(error instanceof ApiFault)) throw error;
      setFound(error.message);
    }
  };
  return (
    <section class={chosen === null ? 'compare no-print' : 'compare'} aria-label="Before and after a change">
      <h2>Before and after a change</h2>
      <div class="look-row">
        <label>
          Work{' '}
          <select
            value={chosen ?? ''}
            onChange={(event) => void compare(Number(event.currentTarget.value) || null, days)}
          >
            <option value="">choose…</option>
            {answer.log.map(({ id, time, part, action }) => (
              <option key={id} value={id}>
                {dayAndClock(time, site)}: {causeName(part)} {action}
              </option>
            ))}
          </select>
        </label>
        <label>
          Days on either side{' '}
          <select value={days} onChange={(event) => void compare(chosen, Number(event.currentTarget.value))}>
            {REACHES.map((reach) => (
              <option key={reach} value={reach}>
                {reach}
              </option>
            ))}
          </select>
        </label>
      </div>
      {typeof found === 'string' && (
        <p class="fault" role="alert">
          {found}
        </p>
      )}
      {found !== null && typeof found !== 'string' && <ComparedTable {...found} site={site} />}
    </section>
  );
}

function ComparedTable({ before, after, site }: Compared & { site: Site }): JSX.Element {
  const rows = PANELS.flatMap((panel) =>
    panel.series.flatMap(({ name, label }) => {
      const [was, is] = [before, after].map((one) =>
        median(one.series.find((series) => series.name === name)?.mid ?? []),
      );
      if (was === null && is === null) return [];
      const tell = (value: number | null | undefined): string =>
        value == null ? 'not measured' : decimal(panel.told(value, site.units).value, panel.digits);
      // Excess air is a share already: its change is told in points of it.
      const isShare = panel.id === 'excess';
      const change =
        was == null || is == null || (was === 0 && !isShare) ? null : (isShare ? is - was : is / was - 1) * 100;
      return [
        {
          key: `${panel.id} ${name}`,
          label: panel.id === 'conductance' ? `${label} conductance` : label,
          unit: panel.told(0, site.units).unit,
          was: tell(was),
          is: tell(is),
          change: change === null ? '' : `${signed(change)} ${isShare ? 'points' : '%'}`,
        },
      ];
    }),
  );
  if (rows.length === 0) return <p class="soft">The gun did not spray on either side of it.</p>;
  return (
    <table>
      <thead>
        <tr>
          <th scope="col">Median</th>
          <th scope="col">Before</th>
          <th scope="col">After</th>
          <th scope="col">Change</th>
        </tr>
      </thead>
      <tbody>
        {rows.map(({ key, label, unit, was, is, change }) => (
          <tr key={key}>
            <th scope="row">
              {label}, {unit}
            </th>
            <td>{was}</td>
            <td>{is}</td>
            <td>{change}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

/** "+5.0", "−5.0", and "0.0" for what is none when rounded. */
function signed(value: number): string {
  const size = decimal(Math.abs(value), 1);
  return Number(size) === 0 ? size : `${value > 0 ? '+' : '−'}${size}`;
}

function median(values: readonly (number | null)[]): number | null {
  const known = values.filter((value): value is number => value !== null).sort((left, right) => left - right);
  if (known.length === 0) return null;
  const middle = known.length >> 1;
  return known.length % 2 === 1 ? known[middle]! : (known[middle - 1]! + known[middle]!) / 2;
}
