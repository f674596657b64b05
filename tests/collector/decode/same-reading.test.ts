import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { CHANNELS, unitsOf } from '../../../collector/contract/index.ts';
import { CsvReadings } from '../../../collector/decode/csv-readings.ts';
import { SenmlDecoder } from '../../../collector/decode/senml.ts';
import { planStations } from '../../../collector/decode/station-plan.ts';
import { parsePlant } from '../../../collector/files/plant.ts';

const plant = parsePlant(`
site: { id: hall-1, timezone: Europe/Vienna }
guns: [{ id: gun-01, channels: { conveying/flow: { reference: scfm68 }, fluidizing/flow: { reference: iso2533 } } }]
`);
const plans = planStations(plant);
const decoder = new SenmlDecoder(plant);
const NOW = Date.UTC(2026, 2, 2);

describe('a reading', () => {
  it('is the same number from a message and from a file', () => {
    const numeric = CHANNELS.filter((channel) => channel.dimension !== null);
    const reading = fc.constantFrom(...numeric).chain((channel) =>
      fc.record({
        channel: fc.constant(channel.name),
        unit: fc.constantFrom(...(channel.dimension === null ? [] : unitsOf(channel.dimension))),
        value: fc.oneof(
          fc.integer({ min: -500, max: 50_000 }).map((n) => n / 1000),
          fc.integer({ min: -100, max: 1_000_000 }),
          fc.double({ min: -50, max: 300, noNaN: true }),
        ),
      }),
    );
    let kept = 0;
    fc.assert(
      fc.property(reading, ({ channel, unit, value }) => {
        const pack = JSON.stringify([
          { n: 'trigger', vb: true },
          { n: channel, u: unit, v: value },
        ]);
        const decoded = decoder.decode(Buffer.from(pack), 'gun-01', NOW);
        if (!decoded.ok) throw new Error(decoded.detail);
        const csv = new CsvReadings(plans);
        csv.beginFile('one.csv');
        csv.push(Buffer.from(`time,gun,trigger,${channel} [${unit}]\n${NOW / 1000},gun-01,1,${value}\n`));
        csv.endFile();
        const fromFile = csv.finish().frames('gun-01').columns[channel]?.[0];
        expect(fromFile).toBe(decoded.pack.values[1]);
        if (fromFile !== undefined) kept++;
      }),
      { numRuns: 1000 },
    );
    expect(kept).toBeGreaterThan(100);
  });
});
