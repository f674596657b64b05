import { HttpError, InfluxDB, Point } from '@influxdata/influxdb-client';
import type { HistorianConfig } from './historian-config.ts';
import type { HistorianPoint } from './point.ts';
import { type HistorianTarget, writeFault } from './target.ts';

/** InfluxDB 2.x by its own client, written only. */
export class Influx2Target implements HistorianTarget {
  readonly #client: InfluxDB;
  readonly #config: HistorianConfig;

  constructor(config: HistorianConfig) {
    const { url, token, timeoutS } = config;
    this.#config = config;
    this.#client = new InfluxDB({ url, token, timeout: timeoutS * 1000 });
  }

  async prepare(): Promise<void> {
    // Organisation and bucket are made by whoever gives out the token.
  }

  async write(points: readonly HistorianPoint[]): Promise<void> {
    const { org, bucket } = this.#config;
    // Whoever writes tries again by itself and in order: the client must neither gather nor repeat.
    const api = this.#client.getWriteApi(org, bucket, 'ms', {
      maxRetries: 0,
      batchSize: points.length + 1,
      flushInterval: 0,
      maxBufferLines: points.length + 1,
      writeFailed: (error) => Promise.reject(error),
    });
    for (const point of points) api.writePoint(pointOf(point));
    try {
      await api.flush();
    } catch (error) {
      const status = error instanceof HttpError ? error.statusCode : undefined;
      throw writeFault(status, error instanceof Error ? error.message : String(error), error);
    } finally {
      await api.close().catch(() => undefined);
    }
  }
}

function pointOf({ measurement, tags, fields, time }: HistorianPoint): Point {
  const point = new Point(measurement).timestamp(time);
  for (const [name, value] of Object.entries(tags)) point.tag(name, value);
  for (const [name, value] of Object.entries(fields))
    if (typeof value === 'number') point.floatField(name, value);
    else point.stringField(name, value);
  return point;
}
