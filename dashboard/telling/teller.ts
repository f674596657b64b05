import type { LiveUpdate, LoopJob } from '../../analyzer/index.ts';
import type { Finding, Plant } from '../../collector/contract/index.ts';
import type { Log, OperationConfig, Store } from '../../collector/index.ts';
import type { ShopSource } from '../server/index.ts';
import { afterQuiet, lastAt } from './local-times.ts';
import { digestLetter, raisedLetter, type Wording } from './messages.ts';
import { Postman, type PostmanOptions } from './postman.ts';
import { targetsOf } from './targets.ts';
import { putTest } from './test-message.ts';
import { newsOf } from './what-to-tell.ts';

/** How often the clock is looked at for the digest, ms. */
const LOOK_MS = 20_000;
/** Work of the plan that is due so soon stands in the digest, ms. Source: own choice, the week in which a stop can be found. */
const AHEAD_MS = 7 * 86_400_000;
/** A digest that is later than this is left out, ms. Source: own choice: a service that was off at seven tells it by noon. */
const DIGEST_LATE_MS = 6 * 3_600_000;

export interface TellerOptions extends Omit<PostmanOptions, 'config' | 'store'> {
  readonly plant: Plant;
  readonly store: Store;
  readonly config: OperationConfig['telling'];
  readonly shop: ShopSource;
  /** The maintenance loop's jobs. */
  readonly jobs: () => readonly LoopJob[];
  readonly log: Log;
}

/**
 * Tells people and machines what happened. Nothing here is waited for: messages go into the store's outbox, and leave it by themselves.
 */
export class Teller {
  readonly #options: TellerOptions;
  readonly #postman: Postman;
  #update: LiveUpdate | null = null;
  #told = new Set<string>();
  #timer: NodeJS.Timeout | null = null;

  constructor(options: TellerOptions) {
    this.#options = options;
    this.#postman = new Postman(options);
  }

  start(): void {
    if (this.#timer !== null || !this.#anyone()) return;
    this.#postman.start();
    this.#timer = setInterval(() => this.#guard(() => this.digest()), LOOK_MS);
  }

  async stop(): Promise<void> {
    if (this.#timer !== null) clearInterval(this.#timer);
    this.#timer = null;
    await this.#postman.stop();
  }

  /** Puts what is new in an update of the analysis into the outbox. */
  update(update: LiveUpdate): void {
    this.#update = update;
    if (!this.#anyone()) return;
    this.#guard(() => this.#tellNews(update));
  }

  /** A message to each target, now, whatever the hour. @returns targets */
  test(who: string): string[] {
    const { plant, store, config, now } = this.#options;
    const targets = putTest({ ...{ plant, store, config }, now: now() }, who);
    this.#postman.wake();
    return targets;
  }

  /** Puts the digest that is due by now into the outbox. */
  digest(): void {
    const { plant, config, store, shop, jobs, now } = this.#options;
    if (config.digestAt === '' || !this.#mails() || this.#update === null) return;
    const { time, date } = lastAt(config.digestAt, plant.site.timezone, now());
    const key = `digest:${date}`;
    if (now() - time > DIGEST_LATE_MS || this.#told.has(key)) return;
    // A day is 23 or 25 hours long where daylight saving begins or ends.
    const since = lastAt(config.digestAt, plant.site.timezone, time - 1).time;
    const within = (at: string | null): boolean => at !== null && Date.parse(at) >= since && Date.parse(at) < time;
    const findings = store.findings.list().map(({ finding }) => finding);
    const letter = digestLetter(
      plant,
      {
        date,
        jobs: jobs(),
        until: time + AHEAD_MS,
        raised: findings.filter(({ raised }) => within(raised)).length,
        cleared: findings.filter(({ cleared }) => within(cleared)).length,
        toOrder: shop.stock().filter(({ order }) => order > 0),
        shortOf: (part) => shop.shortOf(part),
      },
      config.address,
    );
    this.#letter(key, 'digest', letter, now());
    // After it: one that could not be put down is tried again.
    this.#told.add(key);
    this.#postman.wake();
  }

  #tellNews({ findings, jobs }: LiveUpdate): void {
    const { plant, config, store, now, jobs: ofLoop } = this.#options;
    const fresh = newsOf(findings, now()).filter(({ key }) => !this.#told.has(key));
    if (fresh.length === 0) return;
    // Who shelved a job or took a gun out of service asked not to be called for it (ISA-18.2); programs are told all the same.
    const away = ofLoop().filter(({ alert }) => alert === 'shelved' || alert === 'suppressed-by-design');
    const hushed = ({ gun, cause }: Finding): boolean =>
      away.some((job) => job.finding.gun === gun && job.finding.cause === cause);
    store.transaction(() => {
      for (const { key, type, finding } of fresh) {
        const quiet = { from: config.quietFrom, to: config.quietTo };
        const loud = finding.category === 'failure' && !config.quietFailures;
        const later = loud ? now() : afterQuiet(quiet, plant.site.timezone, now());
        const pressing = type === 'finding.raised' && config.mailAtOnce.includes(finding.category);
        if (pressing && this.#mails() && !hushed(finding)) {
          const job = jobs.find(({ finding: of }) => of.gun === finding.gun && of.cause === finding.cause) ?? null;
          this.#letter(key, type, raisedLetter(plant, finding, job, config.address), later);
        }
        for (const { name, quiet: quietToo } of config.webhooks)
          this.#event(key, name, type, { site: plant.site.id, finding }, quietToo ? later : now());
      }
    });
    for (const { key } of fresh) this.#told.add(key);
    this.#postman.wake();
  }

  #letter(key: string, kind: string, letter: Wording, dueAt: number): void {
    const createdAt = this.#options.now();
    this.#options.store.outbox.put({ key: `mail:${key}`, target: 'mail', kind, body: letter, createdAt, dueAt });
  }

  #event(key: string, name: string, type: string, data: object, dueAt: number): void {
    const createdAt = this.#options.now();
    const body = { type, timestamp: new Date(createdAt).toISOString(), data };
    this.#options.store.outbox.put({
      key: `${name}:${key}`,
      target: `webhook:${name}`,
      kind: type,
      body,
      createdAt,
      dueAt,
    });
  }

  #mails(): boolean {
    return targetsOf(this.#options.config).includes('mail');
  }

  #anyone(): boolean {
    return targetsOf(this.#options.config).length > 0;
  }

  /** Telling must not stop what it tells of: a fault here is written down and the analysis goes on. */
  #guard(act: () => void): void {
    try {
      act();
    } catch (error) {
      this.#options.log.error({ error: String(error) }, 'a message was not put into the outbox');
    }
  }
}
