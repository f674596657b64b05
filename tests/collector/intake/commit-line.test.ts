import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import { AppError } from '../../../collector/contract/index.ts';
import { CommitLine } from '../../../collector/intake/commit-line.ts';
import { Group } from '../../../collector/intake/group.ts';
import type { Log } from '../../../collector/log.ts';
import { GatedWriter } from './gated-writer.ts';

let writer: GatedWriter;
let durable: number[];
let lines: string[];
let recovered: number;
let line: CommitLine;
const full = new AppError('DISK_FULL', 'no space left for the data folder');
const turn = (): Promise<unknown> => vi.advanceTimersByTimeAsync(0);

beforeEach(() => {
  vi.useFakeTimers();
  writer = new GatedWriter();
  durable = [];
  lines = [];
  recovered = 0;
  const say =
    (level: string) =>
    (fields: object, message: string): void =>
      void lines.push(`${level} ${message} ${JSON.stringify(fields)}`);
  const log: Log = { info: say('info'), warn: say('warn'), error: say('error') };
  line = new CommitLine({
    writer,
    clock: () => 0,
    log,
    onDurable: (group) => durable.push(group.receivedAt),
    onRecovered: () => recovered++,
  });
});
afterEach(() => {
  line.stop();
  vi.useRealTimers();
});

describe('commit line', () => {
  test('hands several groups to the writer at once and gives them back in their order', async () => {
    for (const id of [1, 2, 3]) line.add(new Group(id));
    expect(writer.pending).toBe(3);
    writer.succeed(2);
    writer.succeed(1);
    await turn();
    expect(durable).toEqual([]);
    writer.succeed(0);
    await turn();
    expect(durable).toEqual([1, 2, 3]);
  });

  test('tries a failed group again until it is stored, with all behind it waiting', async () => {
    line.add(new Group(1));
    line.add(new Group(2));
    writer.fail(full);
    writer.succeed();
    await turn();
    expect(line.failing).toBe(true);
    expect(durable).toEqual([]);
    await vi.advanceTimersByTimeAsync(500);
    writer.fail(full);
    await vi.advanceTimersByTimeAsync(999);
    expect(writer.pending).toBe(0);
    await vi.advanceTimersByTimeAsync(1);
    writer.succeed();
    await turn();
    expect(durable).toEqual([1, 2]);
    expect(line.failing).toBe(false);
    expect(recovered).toBe(1);
  });

  test('says once that nothing can be stored, and once that it can again', async () => {
    line.add(new Group(1));
    for (let attempt = 0; attempt < 4; attempt++) {
      writer.fail(full);
      await vi.advanceTimersByTimeAsync(5000);
    }
    writer.succeed();
    await turn();
    expect(lines).toEqual([
      'error readings cannot be stored: nothing is acknowledged until they can {"code":"DISK_FULL","error":"no space left for the data folder"}',
      'info readings are stored again {"seconds":0,"groups":1}',
    ]);
  });

  test('puts a group that the writer can never store into the quarantine instead', async () => {
    const group = new Group(1);
    const topic = { name: 'airlines/h/g', kind: 'readings', site: 'h', station: 'g' } as const;
    group.deliveries.push({
      topic,
      loan: null,
      payload: Buffer.from('x'),
      clientId: 'c',
      origin: { settled: () => undefined },
      packetId: 1,
    });
    group.accepted.push(true);
    group.packs.push({ station: 'g', times: [Number.NaN], channels: [0], values: [0], strings: [], provenance: '' });
    line.add(group);
    writer.fail(new RangeError('time is not finite'));
    await turn();
    writer.succeed();
    await turn();
    expect(durable).toEqual([1]);
    expect(group.accepted).toEqual([false]);
    expect(writer.committed[0]).toMatchObject({
      packs: [],
      refusals: [{ topic: 'airlines/h/g', reason: 'fault-of-ours', detail: 'time is not finite' }],
    });
  });

  test('is drained when all is durable, or when it cannot be made so', async () => {
    let drained = 0;
    line.add(new Group(1));
    void line.drained().then(() => drained++);
    await turn();
    expect(drained).toBe(0);
    writer.succeed();
    await turn();
    expect(drained).toBe(1);
    line.add(new Group(2));
    void line.drained().then(() => drained++);
    writer.fail(full);
    await turn();
    expect(drained).toBe(2);
  });
});
