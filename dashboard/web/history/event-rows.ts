import type { HistoryAnswer } from '../../../analyzer/index.ts';
import type { Site } from '../../server/endpoints/site.ts';
import { powderName } from '../words/baseline-words.ts';
import { causeName } from '../words/names.ts';
import { clock, day, type TimeStyle } from '../words/site-time.ts';
import { STATES } from '../words/states.ts';
import { output, told as toldQuantity } from '../words/units.ts';
import type { Span } from './look.ts';

/** One thing that happened. */
export interface Mark {
  /** Epoch ms; the same for what has no length. */
  readonly from: number;
  readonly to: number;
  /** Classes of its look, without their prefix. */
  readonly kind: string;
  readonly text: string;
  /** What can be written on it, the longest first: where there is room for none, it stays blank. */
  readonly brief: readonly string[];
}

/** What happened of one kind. */
export interface EventRow {
  readonly name: string;
  readonly marks: readonly Mark[];
}

const told = (time: number, style: TimeStyle): string =>
  `${day(time, style, Number.POSITIVE_INFINITY)}, ${clock(time, style)}`;
const FINDING = 'finding ';
const turned = (index: number): string => (index % 2 === 0 ? 'powder' : 'powder-next');

/** All that stands on a gun's time line beside its air: powders, recipes, findings, work, checks, baselines, settings, runs left out. */
export function eventRows(answer: HistoryAnswer, span: Span, style: TimeStyle & Pick<Site, 'powders'>): EventRow[] {
  const at = (time: number): { from: number; to: number } => ({ from: time, to: time });
  const worked = ({ part, action, time, found, measured, who, note }: HistoryAnswer['log'][number]): Mark => ({
    ...at(time),
    kind: 'work',
    brief: [],
    text: [
      `${causeName(part)} ${action}${found === null ? '' : `, found ${found}`}`,
      ...(measured ? [`${measured.value} ${measured.unit}`] : []),
      ...(note === '' ? [] : [note]),
      ...(who ? [`by ${who}`] : []),
    ].join(', '),
  });
  const rows: EventRow[] = [
    {
      name: 'Powder',
      marks: answer.powders.map(({ powder, from, to }, index) => {
        const text = powderName(powder, style);
        return { from, to, kind: turned(index), text, brief: [text, powder] };
      }),
    },
    {
      name: 'Recipe',
      marks: answer.recipes.map(({ output: gMin, from, to }, index) => {
        const text = toldQuantity(output(gMin, style.units), style.units === 'us' ? 1 : 0);
        return { from, to, kind: turned(index), text, brief: [text, text.split(' ')[0]!] };
      }),
    },
    {
      name: 'Findings',
      marks: answer.findings.map(({ cause, category, raised, cleared }) => ({
        from: Date.parse(raised),
        to: cleared === null ? span.to : Date.parse(cleared),
        kind: `${FINDING}${category}`,
        brief: [`${STATES[category].letter} ${causeName(cause)}`, STATES[category].letter],
        text: `${causeName(cause)}, ${STATES[category].words.toLowerCase()}, raised${cleared === null ? ', still open' : `, cleared ${told(Date.parse(cleared), style)}`}`,
      })),
    },
    { name: 'Work', marks: answer.log.filter(({ action }) => action !== 'inspected').map(worked) },
    { name: 'Checks', marks: answer.log.filter(({ action }) => action === 'inspected').map(worked) },
    {
      name: 'Baseline',
      marks: answer.relearnings.map(({ from, who, reason }) => ({
        ...at(from),
        kind: 'work',
        brief: [],
        text: `Learnt anew, by ${who}: ${reason}`,
      })),
    },
    {
      name: 'Settings',
      marks: answer.settings.map(({ version, adopted, who, why }, index) => ({
        from: Math.max(adopted, span.from),
        to: answer.settings[index + 1]?.adopted ?? span.to,
        kind: turned(index),
        brief: [`Version ${version}`, `${version}`],
        text: `Version ${version} by ${who}: ${why}`,
      })),
    },
    {
      name: 'Left out',
      marks: answer.excluded.map(({ from, to, reason }) => ({
        from,
        to,
        kind: 'left-out',
        text: reason,
        brief: [reason],
      })),
    },
  ];
  return rows.filter(({ marks }) => marks.length > 0);
}

/** Kinds of findings that are marked, each once, with NE 107's letter and words. */
export function kindsOf(
  rows: readonly EventRow[],
): { readonly kind: string; readonly letter: string; readonly words: string }[] {
  const kinds = new Set(rows.flatMap(({ marks }) => marks.map(({ kind }) => kind)));
  return [...kinds]
    .filter((kind) => kind.startsWith(FINDING))
    .map((kind) => ({ kind, ...STATES[kind.slice(FINDING.length) as keyof typeof STATES] }));
}

/** What happened in order of time, those that began before the span first. */
export function inOrder(rows: readonly EventRow[]): { readonly name: string; readonly mark: Mark }[] {
  return rows
    .flatMap(({ name, marks }) => marks.map((mark) => ({ name, mark })))
    .sort((left, right) => left.mark.from - right.mark.from);
}

/** When it was, as text. */
export function markTime({ from, to }: Mark, style: TimeStyle): string {
  return to > from ? `${told(from, style)} to ${told(to, style)}` : told(from, style);
}
