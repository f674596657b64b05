import { CHANNEL_NAMES, type Channel } from '../contract/channels.ts';
import type { Frames } from '../contract/frames.ts';
import { RUN_FIELDS, type RunTable } from '../contract/runs.ts';
import type { StoredFinding } from '../store/store.ts';
import type { HistorianPoint } from './point.ts';

/** Rows [from, to) of a station's readings, a point an instant, a field a channel; `trigger` is 0 and 1. */
export function readingPoints(site: string, frames: Frames, from: number, to: number): HistorianPoint[] {
  const tags = { site, station: frames.station };
  const columns = CHANNEL_NAMES.flatMap((name): [Channel, Float64Array][] => {
    const column = frames.columns[name];
    return column === undefined ? [] : [[name, column]];
  });
  const points: HistorianPoint[] = [];
  for (let row = from; row < to; row++) {
    const fields: Record<string, number | string> = {};
    for (const [name, column] of columns) {
      const value = column[row]!;
      if (!Number.isNaN(value)) fields[name] = name === 'powder/id' ? (frames.strings[value] ?? '') : value;
    }
    points.push({ measurement: 'reading', tags, fields, time: frames.times[row]! });
  }
  return points;
}

/** Spray runs of a gun, each at its start. */
export function runPoints(site: string, { gun, columns, length, powders }: RunTable): HistorianPoint[] {
  const tags = { site, gun };
  return Array.from({ length }, (_, row) => {
    const fields: Record<string, number | string> = {};
    for (const field of RUN_FIELDS) {
      const value = columns[field][row]!;
      if (field === 'powder') fields.powder = powders[value] ?? '';
      else if (field !== 'start' && Number.isFinite(value)) fields[field] = value;
    }
    return { measurement: 'run', tags, fields, time: columns.start[row]! };
  });
}

/** A finding as it stands, at the time when it was raised: a later state takes the place of an earlier one. */
export function findingPoint(site: string, { finding, withdrawnAt }: StoredFinding): HistorianPoint {
  const { gun, cause, raised, asOf, onset, cleared, category, candidates, excessAir, remaining } = finding;
  const fields: Record<string, number | string> = {
    category,
    onset: Date.parse(onset),
    asOf: Date.parse(asOf),
    cleared: cleared === null ? 0 : Date.parse(cleared),
    open: cleared === null && withdrawnAt === null ? 1 : 0,
    withdrawn: withdrawnAt === null ? 0 : 1,
    probability: candidates[0]?.probability ?? 0,
    body: JSON.stringify(finding),
  };
  if (excessAir !== null) fields.excessAir = excessAir;
  if (remaining !== null) Object.assign(fields, remaining.sprayHours);
  return { measurement: 'finding', tags: { site, gun: gun ?? 'common', cause }, fields, time: Date.parse(raised) };
}
