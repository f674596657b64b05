import { CHANNEL_NAMES, type Frames } from '../../../collector/contract/index.ts';

/** Frames as the contract's CSV, rows of all stations mixed as `order` says. */
export function readingsCsv(frames: readonly Frames[], order: (rows: string[]) => string[] = (rows) => rows): string {
  const rows = frames.flatMap((one) =>
    Array.from(one.times, (time, row) => {
      const cells = CHANNEL_NAMES.map((name) => {
        const value = one.columns[name]?.[row] ?? Number.NaN;
        if (Number.isNaN(value)) return '';
        return name === 'powder/id' ? one.strings[value]! : String(value);
      });
      return `${new Date(time).toISOString()},${one.station},${cells.join(',')}`;
    }),
  );
  return `time,gun,${CHANNEL_NAMES.join(',')}\n${order(rows).join('\n')}\n`;
}
