import {
  type AlertLoad,
  alertLoad,
  type GunView,
  JobRecord,
  type Loop,
  type LoopJob,
  type LoopRecords,
  makeLoop,
  OutOfService,
  RuleOverride,
  ShiftCalendar,
  type ShopTime,
  shopTime,
  USUAL_CALENDAR,
} from '../../analyzer/index.ts';
import { AppError, type Finding, isPartId, PART_IDS, type PartId, type Plant } from '../../collector/contract/index.ts';
import type { Store } from '../../collector/index.ts';
import type { By, Deed, SetRule, Stated, UpkeepSource } from '../server/index.ts';
import { deedOn } from './deed-on.ts';
import { observedColourChanges } from './observed-changes.ts';
import { StatedBook } from './stated.ts';
import { UsageBook } from './usage-book.ts';

/** What the loop rests on: in the service and on the command line alike. */
export interface UpkeepBasis {
  readonly store: Store;
  readonly plant: Plant;
  readonly now: () => number;
  /** What the analysis says: all findings, and what screens show of each gun. */
  readonly knows: () => { readonly findings: readonly Finding[]; readonly views: readonly GunView[] };
  /** Spray hours left by life statistics for a part of a gun that has sprayed so long. */
  readonly life: LoopRecords['life'];
  /** Told when people have set something. */
  readonly changed: () => void;
}

/** How long a loop once made is shown, ms. Source: own choice: the wall asks on every change, and nothing in it moves faster. */
const LOOP_AGE_MS = 2000;
const DAY_MS = 86_400_000;

/** The maintenance loop over a store. */
export class UpkeepDesk implements UpkeepSource {
  readonly #basis: UpkeepBasis;
  readonly #stated: StatedBook;
  readonly #usage: UsageBook;
  #made: { at: number; findings: unknown; loop: Loop } | null = null;
  #shop: { day: number; version: number; time: ShopTime } | null = null;

  constructor(basis: UpkeepBasis) {
    this.#basis = basis;
    this.#stated = new StatedBook(basis.store, basis.now);
    this.#usage = new UsageBook(basis.store, basis.now);
  }

  loop(): Loop {
    const { store, plant, knows, life, now: clock } = this.#basis;
    const now = clock();
    const { findings, views } = knows();
    const made = this.#made;
    if (made !== null && made.findings === findings && now >= made.at && now - made.at < LOOP_AGE_MS) return made.loop;
    const loop = makeLoop({
      ...{ plant, findings, views, life, now },
      log: store.log.list(),
      usage: (gun) => this.#usage.of(gun),
      shop: this.#shopTime(now),
      set: (gun, part) => this.rule(gun, part).value,
      record: (job) => {
        const { version, value } = this.#record(job);
        return { version, record: value };
      },
      outOfService: (gun) => this.service(gun).value,
    });
    this.#made = { at: now, findings, loop };
    return loop;
  }

  calendar(): Stated<ShiftCalendar> {
    return this.#stated.get('calendar', (value) => ShiftCalendar.parse(value), USUAL_CALENDAR);
  }

  rules(): SetRule[] {
    const order = (part: string): number => (PART_IDS as readonly string[]).indexOf(part);
    return this.#stated
      .names('rule:')
      .map((name) => {
        const [, gun, part] = name.split(':');
        return { gun: gun === '' ? null : gun!, part: part as PartId, stated: this.rule(gun || null, part as PartId) };
      })
      .filter(({ part }) => isPartId(part))
      .sort((left, right) => order(left.part) - order(right.part) || ((left.gun ?? '') < (right.gun ?? '') ? -1 : 1));
  }

  rule(gun: string | null, part: PartId): Stated<RuleOverride | null> {
    return this.#stated.get<RuleOverride | null>(
      `rule:${gun ?? ''}:${part}`,
      (value) => RuleOverride.parse(value),
      null,
    );
  }

  service(gun: string): Stated<OutOfService | null> {
    return this.#stated.get<OutOfService | null>(`service:${gun}`, (value) => OutOfService.parse(value), null);
  }

  load(weeks: number): AlertLoad {
    return alertLoad(this.loop().jobs, this.#basis.plant.guns.length, weeks, this.#basis.now());
  }

  act(id: string, deed: Deed, by: By): LoopJob {
    const job = this.#job(id);
    const subject = `job:${id}`;
    if (deed.deed === 'undo') this.#stated.undo(subject, by);
    else {
      const { record, did } = deedOn(job, this.#record(id).value, deed, {
        ...{ who: by.who, now: this.#basis.now(), timezone: this.#basis.plant.site.timezone },
      });
      this.#stated.state(subject, record, did, by);
    }
    this.#moved();
    return this.#job(id);
  }

  stateRule(gun: string | null, part: PartId, rule: RuleOverride | null, by: By): Stated<RuleOverride | null> {
    const told = rule === null ? 'interval back to the usual' : `interval set: ${inWords(rule)}`;
    this.#stated.state(`rule:${gun ?? ''}:${part}`, rule, told, by);
    this.#moved();
    return this.rule(gun, part);
  }

  stateCalendar(calendar: ShiftCalendar, by: By): Stated<ShiftCalendar> {
    this.#stated.state('calendar', calendar, 'shift calendar set', by);
    this.#moved();
    return this.calendar();
  }

  stateService(gun: string, out: OutOfService | null, by: By): Stated<OutOfService | null> {
    const did = out === null ? 'back in service' : `out of service: ${out.reason}`;
    this.#stated.state(`service:${gun}`, out, did, by);
    this.#moved();
    return this.service(gun);
  }

  #job(id: string): LoopJob {
    const job = this.loop().jobs.find((one) => one.id === id);
    if (job === undefined) throw new AppError('NOT_FOUND', `no job "${id}"; the list of jobs is at /api/jobs`);
    return job;
  }

  #record(job: string): Stated<JobRecord> {
    return this.#stated.get(`job:${job}`, (value) => JobRecord.parse(value), JobRecord.parse({}));
  }

  #shopTime(now: number): ShopTime {
    const { value, version } = this.calendar();
    const day = Math.floor(now / DAY_MS);
    const { store, plant } = this.#basis;
    if (this.#shop?.day !== day || this.#shop.version !== version) {
      const observed = value.colourChanges.length > 0 ? [] : observedColourChanges(store, plant, now);
      this.#shop = { day, version, time: shopTime(value, plant.site.timezone, day * DAY_MS, observed) };
    }
    return this.#shop.time;
  }

  #moved(): void {
    this.#made = null;
    this.#basis.changed();
  }
}

function inWords(rule: RuleOverride): string {
  const units = { sprayHours: 'spray hours', kilograms: 'kg', days: 'days' } as const;
  const counts = Object.entries(units).flatMap(([key, unit]) => {
    const value = rule[key as keyof typeof units];
    return value === undefined ? [] : [value === null ? `no ${unit}` : `${value} ${unit}`];
  });
  return [...counts, ...(rule.work === undefined ? [] : [rule.work])].join(', ') || 'as usual';
}
