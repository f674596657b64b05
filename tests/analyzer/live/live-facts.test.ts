import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { LiveFacts } from '../../../analyzer/live/live-facts.ts';
import { CsvReadings } from '../../../collector/decode/csv-readings.ts';
import { planStations } from '../../../collector/decode/station-plan.ts';
import { CollectorUnderTest, NOW, PLANT, pressures } from '../../collector/intake/collector-under-test.ts';

const HOUR = 3_600_000;

describe('what the intake finds beside the readings', () => {
  let under: CollectorUnderTest;
  beforeEach(async () => {
    under = new CollectorUnderTest();
    await under.start();
  });
  afterEach(() => under.end());

  it('counts values out of range by hour, the same as a file with them', async () => {
    const client = await under.client();
    const values: [time: number, bar: number][] = [
      [NOW - 3 * HOUR, 20],
      [NOW - 2 * HOUR, 17],
      [NOW - 2 * HOUR + 60_000, 17],
      [NOW - 1000, 1.5],
    ];
    for (const value of values) await client.publishAsync('airlines/hall-2/gun-01', pressures(value), { qos: 1 });
    const facts = new LiveFacts();
    expect(facts.takeCounters(under.collector.store.counters())).toBe(NOW - 3 * HOUR);
    const csv = new CsvReadings(planStations(PLANT));
    csv.beginFile('readings.csv');
    const rows = values.map(([time, bar]) => `${new Date(time).toISOString()},gun-01,${bar}`);
    csv.push(Buffer.from(`time,gun,conveying/pressure\n${rows.join('\n')}\n`));
    csv.endFile();
    expect(facts.ranges).toEqual(csv.finish().rangeFacts);
    expect(facts.ranges.map(({ count }) => count)).toEqual([1, 2]);
    expect(facts.takeCounters(under.collector.store.counters())).toBe(Number.POSITIVE_INFINITY);
  });

  it('notices a clock that runs ahead at the fifth reading within an hour, and knows it after a restart', () => {
    const facts = new LiveFacts();
    const report = (count: number) => ({ station: 'gun-01', receivedAt: NOW, claimedTime: NOW + 2 * HOUR, count });
    expect(facts.takeClocks([report(4)])).toBe(Number.POSITIVE_INFINITY);
    expect(facts.takeClocks([report(1)])).toBe(NOW);
    expect(facts.takeClocks([report(9)])).toBe(Number.POSITIVE_INFINITY);
    const { store } = under.collector;
    facts.flush(store);
    const again = new LiveFacts();
    again.resume(store.states);
    expect(again.clocksOf('gun-01')).toEqual(facts.clocksOf('gun-01'));
    expect(again.clocksOf('gun-01')).toMatchObject([{ kind: 'clock', time: NOW, offsetMs: 2 * HOUR }]);
    expect(again.clocksOf('gun-02')).toEqual([]);
  });

  it('does not look again after a restart at values out of range that it has seen, however old', async () => {
    const client = await under.client();
    await client.publishAsync('airlines/hall-2/gun-01', pressures([NOW - 300 * HOUR, 20]), { qos: 1 });
    const { store } = under.collector;
    const facts = new LiveFacts();
    expect(facts.takeCounters(store.counters())).toBe(NOW - 300 * HOUR);
    facts.flush(store);
    const again = new LiveFacts();
    again.resume(store.states);
    expect(again.ranges).toEqual(facts.ranges);
    expect(again.takeCounters(store.counters())).toBe(Number.POSITIVE_INFINITY);
    await client.publishAsync('airlines/hall-2/gun-01', pressures([NOW - 2 * HOUR, 20]), { qos: 1 });
    expect(again.takeCounters(store.counters())).toBe(NOW - 2 * HOUR);
    expect(again.ranges.map(({ count }) => count)).toEqual([1, 1]);
  });
});
