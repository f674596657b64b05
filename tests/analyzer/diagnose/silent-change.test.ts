import { expect, test } from 'vitest';
import { analyzeSite } from '../../../analyzer/analyze-site.ts';
import { sitePipeline } from '../../../analyzer/pipeline.ts';
import { spanOf } from '../../../analyzer/study/history.ts';
import { Plant, Settings } from '../../../collector/contract/index.ts';
import { SimulatedReadings } from '../../../evaluation/simulated-readings.ts';
import { plantOf, runHall } from '../../../simulators/index.ts';
import { smallHall } from '../../simulators/small-hall.ts';

const DAY = 86_400_000;
const settings = Settings.parse({});

test.each([2, 5])(
  'worn inserts that a simulated shop changes without a word are noticed, and nothing else is asked about (%i)',
  (seed) => {
    const hall = smallHall(
      {
        ...{ weeks: 4, newAtStart: 1, intervalS: [10], lifeSprayHours: 22 },
        maintenance: { insert: { by: 'limit', share: 0.98, spread: 0.05 }, unlogged: 1, refit: 0, inspections: 0 },
      },
      seed,
    );
    const sent = new SimulatedReadings();
    for (const day of runHall(hall)) for (const reports of day.sent) sent.add(reports);
    const plant = Plant.parse(plantOf(hall));
    const { tracks } = analyzeSite(sitePipeline, { plant, settings, log: [], readings: sent.table() });
    const context = { plant, settings: [{ version: 1, adopted: 0, settings }] };
    const state = sitePipeline.init(context);
    sitePipeline.advance(context, state, tracks, [], spanOf(tracks).upTo);
    const noticed = sitePipeline
      .views(context, state)
      .flatMap(({ id, silentChanges = [] }) => silentChanges.map(({ part, time }) => ({ gun: id, part, time })));
    const changed = hall.guns.flatMap(({ maintenance }) => maintenance.changes);
    expect(noticed.length).toBeGreaterThan(1);
    for (const one of noticed) {
      const near = changed.filter(
        ({ gun, part, time }) => gun === one.gun && part === one.part && Math.abs(Date.parse(time) - one.time) < DAY,
      );
      expect(near, `${one.gun} ${one.part} ${new Date(one.time).toISOString()}`).toHaveLength(1);
    }
  },
  60_000,
);
