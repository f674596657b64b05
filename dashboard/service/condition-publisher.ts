import type { GunCondition } from '../../collector/contract/index.ts';
import type { Log } from '../../collector/index.ts';

/** Ages that differ by less are published as one, s: a minute's grid. */
const AGE_STEP_S = 60;
/** How often conditions go out although nothing was found anew: their age moves on, ms. */
const REFRESH_MS = 60_000;

/** Keeps the retained conditions of all guns up to date: what changed goes out at once, a mere age once a minute. */
export class ConditionPublisher {
  readonly #conditions: () => readonly GunCondition[];
  readonly #send: (gun: string, condition: GunCondition) => Promise<void>;
  readonly #log: Log;
  readonly #sent = new Map<string, string>();
  #sending = false;
  #running: Promise<void> = Promise.resolve();
  #again = false;
  #stopped = false;
  #timer: NodeJS.Timeout | null = null;

  constructor(
    conditions: () => readonly GunCondition[],
    send: (gun: string, condition: GunCondition) => Promise<void>,
    log: Log,
  ) {
    this.#conditions = conditions;
    this.#send = send;
    this.#log = log;
  }

  /** Publishes once a minute from now on, beside what `publish` is called for. */
  start(): void {
    this.#timer ??= setInterval(() => void this.publish(), REFRESH_MS);
  }

  /** Publishes what is not published yet; calls during a publication are answered by one more after it. */
  publish(): Promise<void> {
    if (this.#stopped) return Promise.resolve();
    this.#again = true;
    if (!this.#sending) {
      this.#sending = true;
      this.#running = this.#publishAll();
    }
    return this.#running;
  }

  /** Ends with the conditions that are under way: what carries it may be stopped after this. May be called twice. */
  async stop(): Promise<void> {
    this.#stopped = true;
    this.#again = false;
    if (this.#timer !== null) clearInterval(this.#timer);
    await this.#running;
  }

  async #publishAll(): Promise<void> {
    try {
      while (this.#again) {
        this.#again = false;
        if (this.#stopped) return;
        // Together, so that they share a commit: each of its own would stand between those of readings.
        const sent = await Promise.allSettled(this.#conditions().map((condition) => this.#sendChanged(condition)));
        const failed = sent.find((one) => one.status === 'rejected');
        if (failed !== undefined) throw failed.reason;
      }
    } catch (error) {
      this.#log.error({ error: String(error) }, 'a condition could not be published; it will be tried again');
    } finally {
      this.#sending = false;
    }
  }

  async #sendChanged(condition: GunCondition): Promise<void> {
    const { ageSeconds, asOf: _asOf, ...lasting } = condition;
    const print = JSON.stringify([lasting, ageSeconds === null ? null : Math.floor(ageSeconds / AGE_STEP_S)]);
    if (this.#sent.get(condition.id) === print) return;
    await this.#send(condition.id, condition);
    this.#sent.set(condition.id, print);
  }
}
