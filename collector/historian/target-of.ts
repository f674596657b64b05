import { AppError } from '../contract/errors.ts';
import type { HistorianConfig } from './historian-config.ts';
import { Influx1Target } from './influx1-target.ts';
import { Influx2Target } from './influx2-target.ts';
import type { HistorianTarget, ReadableTarget } from './target.ts';

/** The long-term store of a configuration. @throws {AppError} CONFIG_INVALID when it names none */
export function targetOf(config: HistorianConfig): HistorianTarget {
  switch (config.kind) {
    case 'influx1':
      return new Influx1Target(config);
    case 'influx2':
      return new Influx2Target(config);
    case 'none':
      throw new AppError('CONFIG_INVALID', 'historian.kind: found "none", expected influx1 or influx2');
  }
}

/** The same to be read; null where it cannot be. */
export function readableTargetOf(config: HistorianConfig): ReadableTarget | null {
  return config.kind === 'influx1' ? new Influx1Target(config) : null;
}

/** What tells one target from another: for another one all has to be delivered anew. */
export function targetName({ kind, url, database, org, bucket }: HistorianConfig): string {
  return kind === 'influx1' ? `influx1 ${url} ${database}` : `influx2 ${url} ${org} ${bucket}`;
}
