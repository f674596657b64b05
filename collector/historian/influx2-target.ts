import { Agent as HttpAgent } from 'node:http';
import { Agent as HttpsAgent } from 'node:https';
import { HttpError, InfluxDB, Point } from '@influxdata/influxdb-client';
import type { HistorianConfig } from './historian-config.ts';
import type { HistorianPoint } from './point.ts';
import { ANSWER_LATE, type HistorianTarget, writeFault } from './target.ts';

/** InfluxDB 2.x by its own client, written only. */
export class Influx2Target implements HistorianTarget {
  readonly #config: HistorianConfig;

  constructor(config: HistorianConfig) {
    this.#config = config;
  }

  async prepare(): Promise<void> {
    // Organisation and bucket are made by whoever gives out the token.
  }

  /** The client's own time-out is of silence alone: a request whose answer trickles in gets an end by its connection. */
  async write(points: readonly HistorianPoint[]): Promise<void> {
    const { url, token, org, bucket, timeoutS } = this.#config;
    const agent = url.startsWith('https:') ? new HttpsAgent() : new HttpAgent();
    const client = new InfluxDB({ url, token, timeout: timeoutS * 1000, transportOptions: { agent } });
    // Whoever writes tries again by itself and in order: the client must neither gather nor repeat.
    const api = client.getWriteApi(org, bucket, 'ms', {
      maxRetries: 0,
      batchSize: points.length + 1,
      flushInterval: 0,
      maxBufferLines: points.length + 1,
      writeFailed: (error) => Promise.reject(error),
    });
    for (const point of points) api.writePoint(pointOf(point));
    let isLate = false;
    const timer = setTimeout(() => {
      isLate = true;
      agent.destroy();
    }, timeoutS * 1000);
    try {
      await api.flush();
    } catch (error) {
      if (isLate) throw writeFault(undefined, ANSWER_LATE, error);
      const status = error instanceof HttpError ? error.statusCode : undefined;
      throw writeFault(status, error instanceof Error ? error.message : String(error), error);
    } finally {
      clearTimeout(timer);
      await api.close().catch(() => undefined);
      agent.destroy();
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
