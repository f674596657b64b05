import { baselineDesk } from '../../dashboard/service/baseline-desk.ts';
import { NOON } from '../dashboard/hall-guns.ts';
import { deskSources } from '../dashboard/tuning/open-desk.ts';

/** A hall whose gun-01 seems to have got another pump insert on each of some days before, the last one yesterday, which nobody logged. */
export function silentChange(count = 1): {
  made: ReturnType<typeof deskSources>;
  sources: ReturnType<typeof deskSources>['sources'];
} {
  const made = deskSources();
  const silentChanges = Array.from({ length: count }, (_, index) => ({
    ...{ part: 'pump-insert', time: NOON - (count - index) * 86_400_000, noticed: NOON - (count - index) * 80_000_000 },
    ...{ before: 0.19, after: 0.01, sd: 0.02, sprayHours: 52, counted: true },
  }));
  const views = made.sources.views().map((view) => (view.id === 'gun-01' ? { ...view, silentChanges } : view));
  const baselines = baselineDesk({
    ...{ store: made.store, plant: made.sources.plant, source: 'api', now: () => NOON },
    ...{ views: () => views, changed: () => undefined },
  });
  return { made, sources: { ...made.sources, views: () => views, baselines } };
}
