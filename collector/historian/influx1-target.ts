import { InfluxDB, escape as quoteFor } from 'influx';
import { CHANNEL_NAMES, type Channel } from '../contract/channels.ts';
import type { Frames } from '../contract/frames.ts';
import type { HistorianConfig } from './historian-config.ts';
import { influx1Words } from './influx1-answer.ts';
import type { HistorianPoint } from './point.ts';
import { type ReadableTarget, writeFault } from './target.ts';

/** Rows of one answer. Source: own choice: some megabytes of JSON. */
const ROWS_A_QUERY = 10_000;

/** InfluxDB 1.x by the `influx` client. */
export class Influx1Target implements ReadableTarget {
  readonly #client: InfluxDB;
  readonly #database: string;

  constructor({ url, database, username, password, timeoutS }: HistorianConfig) {
    const { hostname, port, protocol } = new URL(url);
    const isTls = protocol === 'https:';
    this.#database = database;
    this.#client = new InfluxDB({
      hosts: [{ host: hostname, port: Number(port) || (isTls ? 443 : 80), protocol: isTls ? 'https' : 'http' }],
      database,
      ...(username === '' ? {} : { username, password }),
      // Whoever writes waits by itself, longer and longer.
      pool: { maxRetries: 0, requestTimeout: timeoutS * 1000, backoff: AT_ONCE },
    });
  }

  async prepare(): Promise<void> {
    const known = await inOwnWords(this.#client.getDatabaseNames());
    if (!known.includes(this.#database)) await inOwnWords(this.#client.createDatabase(this.#database));
  }

  async write(points: readonly HistorianPoint[]): Promise<void> {
    const rows = points.map(({ measurement, tags, fields, time }) => ({
      measurement,
      tags,
      fields,
      timestamp: String(time),
    }));
    try {
      await this.#client.writePoints(rows, { precision: 'ms' });
    } catch (error) {
      const { res } = error as { res?: { statusCode?: number } };
      throw writeFault(res?.statusCode, influx1Words(error), error);
    }
  }

  async *read(site: string, station: string, from: number, to: number): AsyncGenerator<Frames> {
    const where = `"site" = ${quoteFor.stringLit(site)} AND "station" = ${quoteFor.stringLit(station)}`;
    for (let cursor = from; cursor < to; ) {
      const query = `SELECT * FROM "reading" WHERE ${where} AND time >= ${Math.ceil(cursor)}ms AND time < ${Math.ceil(to)}ms ORDER BY time LIMIT ${ROWS_A_QUERY}`;
      const answer = (await inOwnWords(this.#client.queryRaw(query, { precision: 'ms' }))) as RawAnswer;
      const series = answer.results[0]?.series?.[0];
      if (series === undefined) return;
      const frames = framesOf(station, series);
      yield frames;
      if (series.values.length < ROWS_A_QUERY) return;
      cursor = frames.times.at(-1)! + 1;
    }
  }
}

function inOwnWords<T>(answer: Promise<T>): Promise<T> {
  return answer.catch((error: unknown) => {
    throw new Error(influx1Words(error), { cause: error });
  });
}

const AT_ONCE = { getDelay: () => 0, next: () => AT_ONCE, reset: () => AT_ONCE };

interface RawSeries {
  readonly columns: readonly string[];
  readonly values: readonly (readonly (number | string | null)[])[];
}

interface RawAnswer {
  readonly results: readonly { readonly series?: readonly RawSeries[] }[];
}

function framesOf(station: string, { columns, values }: RawSeries): Frames {
  const strings: string[] = [];
  const numberOf = (value: number | string | null): number => {
    if (typeof value === 'number') return value;
    if (value === null) return Number.NaN;
    const known = strings.indexOf(value);
    return known >= 0 ? known : strings.push(value) - 1;
  };
  const found: Partial<Record<Channel, Float64Array>> = {};
  for (const name of CHANNEL_NAMES) {
    const at = columns.indexOf(name);
    if (at < 0) continue;
    const column = Float64Array.from(values, (row) => numberOf(row[at] ?? null));
    if (column.some((value) => !Number.isNaN(value))) found[name] = column;
  }
  const at = columns.indexOf('time');
  return { station, times: Float64Array.from(values, (row) => Number(row[at])), columns: found, strings };
}
