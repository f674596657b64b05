import { type Histories, startHistories } from '../../analyzer/index.ts';
import type { Plant } from '../../collector/contract/index.ts';
import { type Collector, ImportDesk, type Log, type OperationConfig } from '../../collector/index.ts';
import {
  type BaselineSource,
  type PromiseSource,
  type ShopSource,
  type TellingSource,
  type TuningSource,
  timersAround,
  type UpkeepSource,
} from '../server/index.ts';
import { shopBasis } from '../shop/basis.ts';
import { openShop } from '../shop/open-shop.ts';
import { Teller } from '../telling/teller.ts';
import { tellingState } from '../telling/telling-state.ts';
import { openUpkeep } from '../upkeep/open-upkeep.ts';
import { shownJobs } from '../upkeep/shown-jobs.ts';
import { baselineDesk } from './baseline-desk.ts';
import { everyFinding } from './every-finding.ts';
import type { HallNow } from './hall-now.ts';
import { PromiseDesk, type SimulateHealthy } from './promise-desk.ts';
import { observedInStore } from './promise-in-folder.ts';
import type { StopSteps } from './stop-steps.ts';
import { tuning } from './tuning.ts';

/** What people do with readings and findings, each over the store. */
export interface Desks {
  readonly tuning: TuningSource;
  readonly promise: PromiseSource;
  readonly baselines: BaselineSource;
  readonly histories: Histories;
  readonly imports: ImportDesk;
  readonly shop: ShopSource;
  readonly telling: TellingSource;
  readonly upkeep: UpkeepSource;
}

interface DeskParts {
  readonly plant: Plant;
  readonly dir: string;
  readonly collector: Collector;
  readonly hall: HallNow;
  readonly config: Pick<OperationConfig, 'http' | 'telling'>;
  readonly simulateHealthy: SimulateHealthy | null;
  /** Epoch ms. */
  readonly now: () => number;
  readonly log: Log;
}

/** Opens the desks; those with threads and timers of their own end with `stops`. */
export function startDesks({ collector, hall, config, log, ...parts }: DeskParts, stops: StopSteps): Desks {
  const { store } = collector;
  const { dir, plant, now } = parts;
  const { maxImportBytes, maxImportPieceBytes: maxPieceBytes } = config.http;
  const views = () => hall.update().views;
  const logChanged = (): void => hall.logChanged();

  const histories = startHistories({ dir, plant });
  stops.add(() => histories.stop());
  // Its first answer would wait for a thread, which stays in any case once somebody has asked.
  hall.onUpdate(({ settled }) => {
    if (settled) histories.ready();
  });
  const imports = new ImportDesk({ dir, store, plant, now, maxFileBytes: maxImportBytes, maxPieceBytes });
  stops.add(() => imports.stop());
  imports.start();
  const desk = tuning({
    ...{ store, dir, plant, clock: timersAround(now), changed: logChanged },
    ...{ maxBundleBytes: maxImportBytes, maxPieceBytes },
  });
  stops.add(() => desk.stop());
  const promise = new PromiseDesk({
    observed: () => observedInStore(store, plant.guns, views()),
    simulate: parts.simulateHealthy,
  });
  stops.add(() => promise.stop());

  const basis = { ...shopBasis(store, plant, now), views, logChanged };
  const findings = everyFinding(store);
  const upkeep = openUpkeep(basis, { findings: () => findings(hall.update()), changed: () => hall.changed() });
  const shop = openShop(basis, {
    jobs: () => shownJobs(upkeep.loop()),
    calendar: () => upkeep.calendar().value,
  });
  const teller = new Teller({
    ...{ plant, store, config: config.telling, shop, now, log },
    jobs: () => upkeep.loop().jobs,
    random: () => Math.random(),
  });
  teller.start();
  stops.add(() => teller.stop());
  hall.onUpdate((update) => teller.update(update));

  return {
    ...{ tuning: desk, promise, histories, imports, shop, upkeep },
    baselines: baselineDesk({ store, plant, now, source: 'api', views, changed: logChanged }),
    telling: {
      state: (limit) => tellingState(store, config.telling, limit),
      test: (who) => teller.test(who),
    },
  };
}
