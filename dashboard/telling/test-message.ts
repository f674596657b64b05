import type { Plant } from '../../collector/contract/index.ts';
import type { OperationConfig, Store } from '../../collector/index.ts';
import { targetsOf } from './targets.ts';

/**
 * Puts a message to each target into the outbox, to go out now, whatever the hour.
 *
 * @param now epoch ms
 * @returns targets
 */
export function putTest(
  { store, plant, config, now }: { store: Store; plant: Plant; config: OperationConfig['telling']; now: number },
  who: string,
): string[] {
  const letter = {
    subject: `[${plant.site.name ?? plant.site.id}] Test`,
    text: `Asked for by ${who}. If you can read this, driftline reaches you.\n`,
  };
  const event = { type: 'test', timestamp: new Date(now).toISOString(), data: { who } };
  const targets = targetsOf(config);
  store.transaction(() => {
    for (const target of targets)
      store.outbox.put({
        key: `${target}:test:${now}`,
        target,
        kind: 'test',
        body: target === 'mail' ? letter : event,
        createdAt: now,
        dueAt: now,
      });
  });
  return targets;
}
