import { pino } from 'pino';
import { expect, test } from 'vitest';
import type { GunCondition } from '../../../collector/contract/index.ts';
import { ConditionPublisher } from '../../../dashboard/service/condition-publisher.ts';

const condition = (id: string): GunCondition => ({
  ...{ id, name: id, state: 'good', ageSeconds: 1, asOf: null, findings: [] },
});

/** A publisher of two guns whose sending is let go by hand. */
function held() {
  const lines: string[] = [];
  const sent: string[] = [];
  let waiting: (() => void)[] = [];
  const publisher = new ConditionPublisher(
    () => [condition('gun-01'), condition('gun-02')],
    (gun) => {
      sent.push(gun);
      return new Promise((resolve) => waiting.push(resolve));
    },
    pino({}, { write: (line: string) => lines.push(line) }),
  );
  const release = (): void => {
    for (const resolve of waiting) resolve();
    waiting = [];
  };
  return { publisher, lines, sent, release };
}

test('all that changed goes out together, a stop waits for it, and nothing is sent after it', async () => {
  const { publisher, lines, sent, release } = held();
  const publishing = publisher.publish();
  expect(sent).toEqual(['gun-01', 'gun-02']);
  let over = false;
  const stopping = publisher.stop().then(() => (over = true));
  await Promise.resolve();
  expect(over).toBe(false);
  release();
  await Promise.all([publishing, stopping]);
  await publisher.publish();
  expect(sent).toEqual(['gun-01', 'gun-02']);
  expect(lines).toEqual([]);
});

test('what changes during a publication is looked at once more after it, and what is as it was goes out once', async () => {
  const { publisher, sent, release } = held();
  const first = publisher.publish();
  const second = publisher.publish();
  for (let i = 0; i < 6; i++) {
    release();
    await new Promise((resolve) => setImmediate(resolve));
  }
  await Promise.all([first, second]);
  expect(sent).toEqual(['gun-01', 'gun-02']);
});

test('one that cannot be published is told of, and tried again by the next call; the others went out', async () => {
  const lines: string[] = [];
  let full = true;
  const sent: string[] = [];
  const publisher = new ConditionPublisher(
    () => [condition('gun-01'), condition('gun-02')],
    async (gun) => {
      if (full && gun === 'gun-01') throw new Error('the disk is full');
      sent.push(gun);
    },
    pino({}, { write: (line: string) => lines.push(line) }),
  );
  await publisher.publish();
  expect(lines).toEqual([expect.stringContaining('the disk is full')]);
  expect(sent).toEqual(['gun-02']);
  full = false;
  await publisher.publish();
  expect(sent).toEqual(['gun-02', 'gun-01']);
});
