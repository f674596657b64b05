import { analyzeSite } from '../../../analyzer/analyze-site.ts';
import type { SiteHistory } from '../../../analyzer/index.ts';
import { sitePipeline } from '../../../analyzer/pipeline.ts';
import { spanOf } from '../../../analyzer/study/history.ts';
import { Plant, Settings } from '../../../collector/contract/index.ts';
import { SimulatedReadings } from '../../../evaluation/simulated-readings.ts';
import { plantOf, runHall } from '../../../simulators/index.ts';
import { smallHall } from '../../simulators/small-hall.ts';

const base = Settings.parse({});

/** A small simulated hall's history of so many weeks. */
export function historyOf(seed: number, weeks: number): SiteHistory {
  const hall = smallHall({ weeks }, seed);
  const sent = new SimulatedReadings();
  for (const day of runHall(hall)) for (const reports of day.sent) sent.add(reports);
  const plant = Plant.parse(plantOf(hall));
  const log = hall.guns.flatMap(({ maintenance }) => maintenance.log).sort((left, right) => left.time - right.time);
  const { tracks } = analyzeSite(sitePipeline, { plant, settings: base, log, readings: sent.table() });
  return { plant, log, tracks, settings: [], judgements: [], ...spanOf(tracks) };
}
