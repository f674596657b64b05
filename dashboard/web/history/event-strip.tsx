import type { JSX } from 'preact';
import type { HistoryAnswer } from '../../../analyzer/index.ts';
import { causeName } from '../words/names.ts';
import { clock, day, type TimeStyle } from '../words/site-time.ts';
import { output, told as toldQuantity } from '../words/units.ts';
import type { Span } from './look.ts';

interface Props {
  readonly answer: HistoryAnswer;
  readonly span: Span;
  readonly style: TimeStyle;
}

/** One thing on the strip, in units of its width. */
interface Mark {
  readonly x: number;
  readonly width: number;
  readonly kind: string;
  readonly title: string;
}

const ROW = 26;
const WIDTH = 1000;

/** What happened, on the same time line as the charts: powders, findings, work that was logged, settings, runs left out. */
export function EventStrip({ answer, span, style }: Props): JSX.Element {
  const x = (time: number): number =>
    ((Math.min(Math.max(time, span.from), span.to) - span.from) / (span.to - span.from)) * WIDTH;
  const bar = (from: number, to: number): { x: number; width: number } => ({
    x: x(from),
    width: Math.max(2, x(to) - x(from)),
  });
  const worked = ({ part, action, time, found, measured }: HistoryAnswer['log'][number]): Mark => ({
    ...bar(time, time),
    kind: 'work',
    title: `${causeName(part)} ${action}${found === null ? '' : `, found ${found}`}${measured ? `, ${measured.value} ${measured.unit}` : ''}, ${told(time, style)}`,
  });
  const rows: { readonly name: string; readonly marks: readonly Mark[] }[] = [
    {
      name: 'Powder',
      marks: answer.powders.map(({ powder, from, to }, index) => ({
        ...bar(from, to),
        kind: index % 2 === 0 ? 'powder' : 'powder-next',
        title: powder,
      })),
    },
    {
      name: 'Recipe',
      marks: answer.recipes.map(({ output: gMin, from, to }, index) => ({
        ...bar(from, to),
        kind: index % 2 === 0 ? 'powder' : 'powder-next',
        title: `${toldQuantity(output(gMin, style.units), style.units === 'us' ? 1 : 0)} from ${told(from, style)}`,
      })),
    },
    {
      name: 'Findings',
      marks: answer.findings.map(({ cause, category, raised, cleared }) => ({
        ...bar(Date.parse(raised), cleared === null ? span.to : Date.parse(cleared)),
        kind: `finding ${category}`,
        title: `${causeName(cause)}, raised ${told(Date.parse(raised), style)}${cleared === null ? ', open' : `, cleared ${told(Date.parse(cleared), style)}`}`,
      })),
    },
    {
      name: 'Work',
      marks: answer.log.filter(({ action }) => action !== 'inspected').map(worked),
    },
    { name: 'Checks', marks: answer.log.filter(({ action }) => action === 'inspected').map(worked) },
    {
      name: 'Baseline',
      marks: answer.relearnings.map(({ from, who, reason }) => ({
        ...bar(from, from),
        kind: 'work',
        title: `Learnt anew, by ${who}: ${reason}, ${told(from, style)}`,
      })),
    },
    {
      name: 'Settings',
      marks: answer.settings.map(({ version, adopted, who, why }) => ({
        ...bar(adopted, adopted),
        kind: 'work',
        title: `Version ${version} by ${who}: ${why}, ${told(adopted, style)}`,
      })),
    },
    {
      name: 'Left out',
      marks: answer.excluded.map(({ from, to, reason }) => ({ ...bar(from, to), kind: 'left-out', title: reason })),
    },
  ].filter(({ marks }) => marks.length > 0);
  if (rows.length === 0) return <p class="soft">Nothing was found or logged in this span.</p>;
  return (
    <div class="events">
      {rows.map(({ name, marks }) => (
        <div class="events-row" key={name}>
          <span class="events-name">{name}</span>
          <svg
            viewBox={`0 0 ${WIDTH} ${ROW}`}
            preserveAspectRatio="none"
            role="img"
            aria-label={`${name}: ${marks.map(({ title }) => title).join('; ')}`}
          >
            {marks.map(({ x: left, width, kind, title }) => (
              <rect
                key={`${left} ${title}`}
                x={left}
                y={3}
                width={width}
                height={ROW - 6}
                class={`event-${kind.replace(' ', ' event-')}`}
              >
                <title>{title}</title>
              </rect>
            ))}
          </svg>
        </div>
      ))}
    </div>
  );
}

const told = (time: number, style: TimeStyle): string => `${day(time, style)} ${clock(time, style)}`;
