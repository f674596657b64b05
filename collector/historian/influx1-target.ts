import { InfluxDB, escape as quoteFor } from 'influx';
import { CHANNEL_NAMES, type Channel } from '../contract/channels.ts';
import type { Frames } from '../contract/frames.ts';
import type { HistorianConfig } from './historian-config.ts';
import { influx1Words } from './influx1-answer.ts';
import type { HistorianPoint } from './point.ts';
import { ANSWER_LATE, type ReadableTarget, writeFault } from './target.ts';

/** Rows of one answer. Source: own choice: some megabytes of JSON. */
const ROWS_A_QUERY = 10_000;

/** InfluxDB 1.x by the `influx` client. */
export class Influx1Target implements ReadableTarget {
  readonly #config: HistorianConfig;

  constructor(config: HistorianConfig) {
    this.#config = config;
  }

  async prepare(): Promise<void> {
    const { database } = this.#config;
    const known = await inOwnWords(this.#ask((client) => client.getDatabaseNames()));
    if (!known.includes(database)) await inOwnWords(this.#ask((client) => client.createDatabase(database)));
  }

  async write(points: readonly HistorianPoint[]): Promise<void> {
    const rows = points.map(({ measurement, tags, fields, time }) => ({
      measurement,
      tags,
      fields,
      timestamp: String(time),
    }));
    try {
      await this.#ask((client) => client.writePoints(rows, { precision: 'ms' }));
    } catch (error) {
      const { res } = error as { res?: { statusCode?: number } };
      throw writeFault(res?.statusCode, influx1Words(error), error);
    }
  }

  async *read(site: string, station: string, from: number, to: number): AsyncGenerator<Frames> {
    const where = `"site" = ${quoteFor.stringLit(site)} AND "station" = ${quoteFor.stringLit(station)}`;
    for (let cursor = from; cursor < to; ) {
      const query = `SELECT * FROM "reading" WHERE ${where} AND time >= ${Math.ceil(cursor)}ms AND time < ${Math.ceil(to)}ms ORDER BY time LIMIT ${ROWS_A_QUERY}`;
      const answer = (await inOwnWords(
        this.#ask((client) => client.queryRaw(query, { precision: 'ms' })),
      )) as RawAnswer;
      const series = answer.results[0]?.series?.[0];
      if (series === undefined) return;
      const frames = framesOf(station, series);
      yield frames;
      if (series.values.length < ROWS_A_QUERY) return;
      cursor = frames.times.at(-1)! + 1;
    }
  }

  /**
   * One request. It gets a client of its own: where an answer begins and breaks off (the server is killed just then), the
   * library's promise is never settled, and only the options of a client can end the request.
   */
  async #ask<T>(request: (client: InfluxDB) => Promise<T>): Promise<T> {
    const { timeoutS } = this.#config;
    const end = new AbortController();
    let timer: NodeJS.Timeout | undefined;
    const late = new Promise<never>((_resolve, reject) => {
      timer = setTimeout(() => reject(new Error(ANSWER_LATE)), timeoutS * 1000);
    });
    try {
      return await Promise.race([request(clientOf(this.#config, end.signal)), late]);
    } catch (error) {
      // Whatever is left of it must not hold a connection until the next one has as little luck.
      end.abort();
      throw error;
    } finally {
      clearTimeout(timer);
    }
  }
}

function clientOf({ url, database, username, password, timeoutS }: HistorianConfig, signal: AbortSignal): InfluxDB {
  const { hostname, port, protocol } = new URL(url);
  const isTls = protocol === 'https:';
  return new InfluxDB({
    hosts: [
      {
        host: hostname,
        port: Number(port) || (isTls ? 443 : 80),
        protocol: isTls ? 'https' : 'http',
        options: { signal },
      },
    ],
    database,
    ...(username === '' ? {} : { username, password }),
    // Whoever writes waits by itself, longer and longer.
    pool: { maxRetries: 0, requestTimeout: timeoutS * 1000, backoff: AT_ONCE },
  });
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
