import type { Channel } from '../../../collector/contract/channels.ts';
import type { ImportMapping } from '../../../collector/index.ts';
import type { Offer } from './import-types.ts';

export interface ColumnDraft {
  readonly column: string;
  readonly channel: Channel | '';
  /** Empty for the channel's own. */
  readonly unit: string;
  /** Empty for the gun of the whole file. */
  readonly gun: string;
  readonly scale: number;
  readonly offset: number;
}

/** A mapping as it stands in the form. */
export interface MappingDraft {
  /** The form that `export readings` writes: no mapping at all. */
  readonly own: boolean;
  readonly delimiter: ImportMapping['delimiter'];
  /** Empty while it is still to say. */
  readonly decimal: ImportMapping['decimal'] | '';
  /** A number of the file that may be read either way, where nothing in its first rows decides; else null. */
  readonly eitherWay: string | null;
  readonly encoding: ImportMapping['encoding'];
  readonly skipLines: number;
  readonly timeColumn: string;
  /** Second column of the time of day; empty for none. */
  readonly clockColumn: string;
  readonly timeAs: 'iso' | 'unix-ms' | 'sheet-days' | 'pattern';
  readonly pattern: string;
  /** Empty for none: each time has its offset. */
  readonly zone: string;
  /** Gun of the whole file; empty where a column names it, or each column has its own. */
  readonly gun: string;
  /** Column that names the gun; empty for none. */
  readonly gunColumn: string;
  /** Gun by what that column says; what is not here stands for itself. */
  readonly names: Readonly<Record<string, string>>;
  readonly absent: string;
  readonly columns: readonly ColumnDraft[];
}

function timeAsOf(time: ImportMapping['time'] | null): MappingDraft['timeAs'] {
  if (time?.format !== undefined) return 'pattern';
  return time?.as === 'unix-ms' || time?.as === 'sheet-days' ? time.as : 'iso';
}

/** The form's first state: what was used before for such a file, else what its headings seem to say. */
export function draftOf({ offered, kept }: Offer, zone: string): MappingDraft {
  const { own, delimiter, decimal, eitherWay, encoding, skipLines, headings, time, gun, columns } = offered;
  if (kept !== null) return fromMapping(kept.mapping, headings);
  const found = gun === null || typeof gun === 'string' ? [] : gun.found;
  const names = gun === null || typeof gun === 'string' ? {} : gun.names;
  return {
    ...{ own, delimiter, decimal: decimal ?? ('' as const), eitherWay, encoding, skipLines },
    timeColumn: time?.column ?? headings[0] ?? '',
    clockColumn: time?.clock ?? '',
    timeAs: timeAsOf(time),
    pattern: time?.format ?? '',
    zone: time?.zone ?? (time === null ? zone : ''),
    gun: typeof gun === 'string' ? gun : '',
    gunColumn: gun === null || typeof gun === 'string' ? '' : gun.column,
    names: Object.fromEntries(found.map((name) => [name, names[name] ?? ''])),
    absent: '',
    columns: columns.map((one) => ({
      ...{ column: one.column, channel: one.channel ?? '', unit: one.unit ?? '', gun: one.gun ?? '' },
      ...{ scale: 1, offset: 0 },
    })),
  };
}

/** The form as a mapping says it. @param stated a mapping that the service took */
export function fromMapping(stated: unknown, headings: readonly string[]): MappingDraft {
  const { delimiter, decimal, encoding, skipLines, time, gun, absent, columns } = stated as ImportMapping;
  const used = new Set([time.column, time.clock, typeof gun === 'object' ? gun.column : '']);
  const others = headings.filter((one) => !used.has(one) && !columns.some(({ column }) => column === one));
  return {
    ...{
      own: false,
      eitherWay: null,
      delimiter,
      decimal,
      encoding,
      skipLines,
      timeColumn: time.column,
      clockColumn: time.clock ?? '',
    },
    timeAs: timeAsOf(time),
    pattern: time.format ?? '',
    zone: time.zone ?? '',
    gun: typeof gun === 'string' ? gun : '',
    gunColumn: typeof gun === 'object' ? gun.column : '',
    names: (typeof gun === 'object' && gun.names) || {},
    absent: absent.join(' | '),
    columns: [
      ...columns.map(({ column, channel, unit = '', gun: own = '', scale, offset }) => ({
        ...{ column, channel, unit, gun: own, scale, offset },
      })),
      ...others.map((column) => ({ column, channel: '' as const, unit: '', gun: '', scale: 1, offset: 0 })),
    ],
  };
}

/** What is still to say before the draft is a mapping; null when nothing is. */
export function missingIn(draft: MappingDraft): string | null {
  if (draft.own) return null;
  const used = draft.columns.filter(({ channel }) => channel !== '');
  if (used.length === 0) return 'Still to say: what at least one column measures.';
  if (draft.gun === '' && draft.gunColumn === '' && used.some(({ gun }) => gun === ''))
    return 'Still to say: whose readings these are. Choose a gun for the file, a column that names it, or a gun for each column.';
  if (draft.timeAs === 'pattern' && draft.pattern.trim() === '') return 'Still to say: how the time is written.';
  if (draft.decimal === '')
    return `Still to say: whether the point or the comma is the decimal mark. “${draft.eitherWay}” may be read either way.`;
  return null;
}

/** The mapping that the API takes; null for the contract's own form. */
export function mappingOf(draft: MappingDraft): object | null {
  if (draft.own) return null;
  const { delimiter, decimal, encoding, skipLines, timeColumn, clockColumn, timeAs, pattern, zone } = draft;
  const names = Object.fromEntries(Object.entries(draft.names).filter(([, gun]) => gun !== ''));
  const absent = draft.absent.split('|').map((text) => text.trim());
  return {
    ...{ delimiter, decimal, encoding, skipLines },
    time: {
      column: timeColumn,
      ...(clockColumn === '' ? {} : { clock: clockColumn }),
      ...(timeAs === 'pattern' ? { format: pattern.trim() } : timeAs === 'iso' ? {} : { as: timeAs }),
      ...(zone.trim() === '' ? {} : { zone: zone.trim() }),
    },
    ...(draft.gunColumn !== ''
      ? { gun: { column: draft.gunColumn, ...(Object.keys(names).length > 0 ? { names: names } : {}) } }
      : draft.gun === ''
        ? {}
        : { gun: draft.gun }),
    absent: absent.filter((text) => text !== ''),
    columns: draft.columns.flatMap(({ column, channel, unit, gun, scale, offset }) =>
      channel === ''
        ? []
        : [{ column, channel, scale, offset, ...(unit === '' ? {} : { unit }), ...(gun === '' ? {} : { gun }) }],
    ),
  };
}
