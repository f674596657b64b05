import type { States } from '../../collector/index.ts';
import type { StationFact } from '../site.ts';
import { packState, unpackState } from './state-bytes.ts';

/** What a restart compares with: the station as it was when it was last written down. */
export interface Head {
  readonly facts: readonly StationFact[];
  /** Facts that were over before this are kept beside, epoch ms; absent where an earlier program kept all. */
  readonly settledBefore?: number;
  readonly firstTime: number;
  readonly lastTime: number;
  readonly powders: readonly string[];
}

const headKey = (station: string): string => `live/${station}/head`;

/** Null where nothing was written down. */
export function readHead(station: string, states: Pick<States, 'get'>): Head | null {
  const bytes = states.get(headKey(station));
  return bytes === null ? null : unpackState<Head>(bytes);
}

export function writeHead(station: string, states: Pick<States, 'put'>, head: Head): void {
  states.put(headKey(station), packState(head));
}
