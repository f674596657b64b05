import { CHANNELS, type Conversion, channelIndex, lookUpUnit, printable, quoted, unitsOf } from '../contract/index.ts';

/** What a column holds: `ignored` for one that is no channel. */
export type ColumnKind = 'ignored' | 'time' | 'station' | 'number' | 'name' | 'trigger';

export interface Column {
  readonly kind: ColumnKind;
  /** Index into CHANNELS, -1 for the rest. */
  readonly channel: number;
  /** From the header's unit to the canonical one, before any reference state. */
  readonly conversion: Conversion;
}

export interface Header {
  readonly columns: readonly Column[];
  readonly ignored: readonly string[];
}

export type HeaderResult =
  | { readonly ok: true; readonly header: Header }
  | { readonly ok: false; readonly field: string; readonly found: string; readonly expected: string };

const CANONICAL: Conversion = { scale: 1, offset: 0 };

const KINDS = { number: 'number', boolean: 'trigger', string: 'name' } as const;

/** Splits `conveying/pressure [kPa]` into name and unit; a UCUM code that has brackets itself may stand with or without another pair. */
function splitUnit(text: string): { name: string; units: string[] } {
  const open = text.indexOf('[');
  if (open < 0) return { name: text.trim(), units: [] };
  const whole = text.slice(open).trim();
  const inner = whole.endsWith(']') ? [whole.slice(1, -1).trim()] : [];
  // `powder/output [lb_av]/h` has its first bracket inside the unit; nothing stands between it and the name but a blank.
  return { name: text.slice(0, open).trim(), units: [...inner, whole] };
}

const fault = (field: string, found: string, expected: string): HeaderResult => ({ ok: false, field, found, expected });

function readColumn(text: string): Column | null | { readonly fault: HeaderResult } {
  const { name, units } = splitUnit(text);
  if (name === 'time' && units.length === 0) return { kind: 'time', channel: -1, conversion: CANONICAL };
  if ((name === 'gun' || name === 'station') && units.length === 0) {
    return { kind: 'station', channel: -1, conversion: CANONICAL };
  }
  const channel = channelIndex(name);
  const info = CHANNELS[channel];
  if (info === undefined) return null;
  if (units.length === 0) return { kind: KINDS[info.kind], channel, conversion: CANONICAL };
  const lookups = units.map((unit) => lookUpUnit(info.dimension, unit));
  const good = lookups.find((lookup) => lookup.kind === 'ok');
  if (good?.kind === 'ok') return { kind: KINDS[info.kind], channel, conversion: good.conversion };
  const wrong = lookups.some((lookup) => lookup.kind === 'wrong-dimension');
  const expected = info.dimension === null ? 'no unit' : `one of ${unitsOf(info.dimension).join(' ')}`;
  const found = `${wrong ? 'a unit of the wrong dimension' : 'the unknown unit'} ${quoted(units[0])}`;
  return { fault: fault(name, found, expected) };
}

/** Reads the header row of a file of readings. */
export function readHeader(fields: readonly string[]): HeaderResult {
  const columns: Column[] = [];
  const ignored: string[] = [];
  const seen = new Map<string, string>();
  for (const field of fields) {
    const column = readColumn(field);
    if (column !== null && 'fault' in column) return column.fault;
    if (column === null) {
      ignored.push(field);
      columns.push({ kind: 'ignored', channel: -1, conversion: CANONICAL });
      continue;
    }
    const key = column.channel < 0 ? column.kind : (CHANNELS[column.channel]?.name ?? '');
    const before = seen.get(key);
    if (before !== undefined) {
      return fault(key, `it twice, as ${quoted(before)} and ${quoted(field)}`, 'each column once');
    }
    seen.set(key, field);
    columns.push(column);
  }
  const shown = printable(fields.join(','), 100);
  if (!seen.has('time')) return fault('time', `no such column in "${shown}"`, 'a header time,gun,<channel>,…');
  if (!seen.has('station')) return fault('gun', `no such column in "${shown}"`, 'a column gun or station');
  if (!columns.some((column) => column.channel >= 0)) {
    return fault('header', `no channel in "${shown}"`, `at least one of ${CHANNELS.map((c) => c.name).join(' ')}`);
  }
  return { ok: true, header: { columns, ignored } };
}
