import fc from 'fast-check';
import { expect, test } from 'vitest';
import { channelIndex } from '../../../collector/contract/channels.ts';
import { headsOf, type Section, sectionsOf } from '../../../collector/store/batch.ts';
import { BatchBuilder } from '../../../collector/store/batch-builder.ts';
import { SectionLists } from '../../../collector/store/section-lists.ts';

const FLOW = channelIndex('conveying/flow');
/** Batches by the stations of their packs, one after the other. */
const batches = fc.array(fc.array(fc.constantFrom('gun-1', 'gun-2', 'gun-3'), { minLength: 1, maxLength: 5 }), {
  maxLength: 12,
});

function bytesOf(stations: readonly string[], seq: number): Uint8Array {
  const builder = new BatchBuilder();
  for (const [index, station] of stations.entries()) {
    const times = Array.from({ length: index + 1 }, (_, i) => 1000 * seq + i);
    const values = times.map((_, i) => seq + i);
    builder.add({ station, times, channels: times.map(() => FLOW), values, strings: [], provenance: station });
  }
  return builder.bytes();
}

const told = ({ seq, station, provenance, readings, minTime, start }: Section) => ({
  seq,
  station,
  provenance,
  readings,
  minTime,
  start,
});

test('packs of each station come as they were committed, whatever was let go of before', () => {
  fc.assert(
    fc.property(batches, fc.array(fc.nat(14), { maxLength: 3 }), (written, forgotten) => {
      const lists = new SectionLists();
      let naive: Section[] = [];
      const forget = (seq: number): void => {
        lists.forgetBefore(seq);
        naive = naive.filter((section) => section.seq >= seq);
      };
      for (const [index, stations] of written.entries()) {
        const bytes = bytesOf(stations, index + 1);
        const { batch, heads } = headsOf(index + 1, bytes)!;
        lists.add(batch, heads);
        naive.push(...sectionsOf(index + 1, bytes)!);
        if (index % 4 === 3) forget(forgotten.pop() ?? 0);
      }
      forget(forgotten.pop() ?? 0);
      expect([...lists.stations].sort()).toEqual([...new Set(naive.map(({ station }) => station))].sort());
      expect(lists.size).toBe([...lists.stations].length);
      for (const station of ['gun-1', 'gun-2', 'gun-3']) {
        const [own, expected] = [lists.of(station), naive.filter((section) => section.station === station)];
        expect(own.slice(0).map(told)).toEqual(expected.map(told));
        expect(Array.from({ length: own.length }, (_, i) => [own.seqAt(i), own.readingsAt(i)])).toEqual(
          expected.map(({ seq, readings }) => [seq, readings]),
        );
        expect(own.slice(1, 3).map(told)).toEqual(expected.slice(1, 3).map(told));
      }
    }),
  );
});
