import { CHANNELS, type Channel, type Dimension, type Plant } from '../contract/index.ts';

/** How loggers write units, with the code that we take. Source: common practice, no source. */
const SPELLINGS: readonly (readonly [RegExp, string, Dimension])[] = [
  [/^m?bar$/i, 'bar', 'pressure'],
  [/^hpa$/i, 'hPa', 'pressure'],
  [/^kpa$/i, 'kPa', 'pressure'],
  [/^mpa$/, 'MPa', 'pressure'],
  [/^pa$/i, 'Pa', 'pressure'],
  [/^\[?psi\]?g?$/i, '[psi]', 'pressure'],
  [/^n?m(3|³)\/h(r)?$/i, 'm3/h', 'volume-flow'],
  [/^n?l\/min$|^s?lpm$/i, 'L/min', 'volume-flow'],
  [/^l\/s$/i, 'l/s', 'volume-flow'],
  [/^s?cfm$|^ft(3|³)\/min$/i, '[ft_i]3/min', 'volume-flow'],
  [/^°?c(el)?$/i, 'Cel', 'temperature'],
  [/^°?f$|^degf$/i, '[degF]', 'temperature'],
  [/^k$/, 'K', 'temperature'],
  [/^g\/min$/i, 'g/min', 'mass-flow'],
  [/^kg\/h(r)?$/i, 'kg/h', 'mass-flow'],
  [/^lb\/h(r)?$/i, '[lb_av]/h', 'mass-flow'],
  [/^kg$/i, 'kg', 'mass'],
  [/^g$/i, 'g', 'mass'],
  [/^lbs?$/i, '[lb_av]', 'mass'],
];

/** Words of headings, English and German, with the channel that they speak of; the first that fits counts. */
const WORDS: readonly (readonly [RegExp, Channel])[] = [
  [/trigger|abzug|spraying/, 'trigger'],
  [/ripple|welligkeit/, 'conveying/ripple'],
  [/dew|taupunkt/, 'supply/dewpoint'],
  [/temp/, 'supply/temperature'],
  [/(powder|pulver).*(id|name|no|nr|art)\b|colou?r|farbe/, 'powder/id'],
  [/(powder|pulver).*(mass|weight|gewicht)|scale|waage/, 'powder/mass'],
  [/output|ausstoß|ausstoss|(powder|pulver).*(rate|menge|flow|strom)/, 'powder/output'],
  [/(suppl|dos|dilut|zusatz).*(press|druck)/, 'supplementary/pressure'],
  [/(supplement|dos|dilut|zusatz).*(flow|fluss|volum|luft|air)/, 'supplementary/flow'],
  [/fluid.*(press|druck)/, 'fluidizing/pressure'],
  [/fluid.*(flow|fluss|volum|luft|air)/, 'fluidizing/flow'],
  [/(supply|line|inlet|netz|versorgung).*(press|druck)/, 'supply/pressure'],
  [/press|druck|\bp\b/, 'conveying/pressure'],
  [/flow|fluss|volum|förderluft|conveying air|\bq\b/, 'conveying/flow'],
];

/** Where only the unit tells. */
const BY_DIMENSION: Readonly<Record<Dimension, Channel>> = {
  pressure: 'conveying/pressure',
  'volume-flow': 'conveying/flow',
  temperature: 'supply/temperature',
  'mass-flow': 'powder/output',
  mass: 'powder/mass',
};

/** What a column is taken for until a person says otherwise. */
export interface OfferedColumn {
  readonly column: string;
  readonly channel: Channel | null;
  /** Code of its unit; null for the channel's own. */
  readonly unit: string | null;
  /** Gun or air point that the heading names. */
  readonly gun: string | null;
}

/** Guesses from a heading such as `Conveying pressure left [kPa]` what its column holds. */
export function offerColumn(heading: string, plant: Plant): OfferedColumn {
  const gun = stationIn(heading, plant);
  const own = CHANNELS.find(({ name }) => heading.toLowerCase().startsWith(name));
  const text = /[[(]\s*(.+?)\s*[\])]?\s*$/.exec(heading)?.[1] ?? heading.split(/[\s_,]+/).at(-1)!;
  // mbar is a name of hPa.
  const spelt = /^mbar$/i.test(text) ? (['', 'hPa', 'pressure'] as const) : SPELLINGS.find(([as]) => as.test(text));
  const dimension = spelt?.[2] ?? null;
  const words = heading.toLowerCase().replaceAll('_', ' ');
  const fits = (channel: Channel): boolean =>
    dimension === null || CHANNELS.find(({ name }) => name === channel)?.dimension === dimension;
  const channel =
    own?.name ??
    WORDS.find(([pattern, one]) => pattern.test(words) && fits(one))?.[1] ??
    (dimension === null ? null : BY_DIMENSION[dimension]);
  return { column: heading, channel, unit: channel !== null && fits(channel) ? (spelt?.[1] ?? null) : null, gun };
}

/** The gun or air point that a text names, by id or name; null for none or several. */
export function stationIn(text: string, plant: Plant): string | null {
  const words = text.toLowerCase();
  const named = [...plant.guns, ...plant.air].filter(({ id, name }) =>
    [id, ...(name === undefined ? [] : [name.toLowerCase()])].some((one) => words.includes(one)),
  );
  return named.length === 1 ? named[0]!.id : null;
}
