import type { OperationConfig, Store } from '../../collector/index.ts';
import type { TellingAnswer } from '../server/index.ts';
import { targetsOf } from './targets.ts';

/** The outbox for people: no addresses, bodies or secrets. */
export function tellingState(store: Store, config: OperationConfig['telling'], limit: number): TellingAnswer {
  const { waiting, sent, failed } = store.outbox.counts();
  return {
    targets: targetsOf(config),
    waiting,
    sent,
    failed,
    messages: store.outbox.list({ limit }).map((entry) => ({
      target: entry.target,
      kind: entry.kind,
      createdAt: new Date(entry.createdAt).toISOString(),
      state: entry.state,
      attempts: entry.attempts,
      nextAt: entry.state === 'waiting' ? new Date(entry.dueAt).toISOString() : null,
      fault: entry.lastFault,
    })),
  };
}
