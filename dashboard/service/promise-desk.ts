import type { ObservedPromise, SimulatedPromise } from '../../analyzer/index.ts';
import { AppError, type Settings } from '../../collector/contract/index.ts';
import type { PromiseSimulation, PromiseSource } from '../server/index.ts';

/** How healthy guns are simulated, in threads of their own: given by who puts service and simulators together. */
export type SimulateHealthy = (asked: {
  readonly settings: Settings;
  readonly gunYears: number;
  readonly progress: (share: number) => void;
  readonly signal: AbortSignal;
}) => Promise<SimulatedPromise>;

export interface PromiseDeskOptions {
  readonly observed: () => ObservedPromise;
  /** Null where nothing can be simulated. */
  readonly simulate: SimulateHealthy | null;
}

/** The rate of false findings for the service: what was observed, and one simulation at a time. */
export class PromiseDesk implements PromiseSource {
  readonly #options: PromiseDeskOptions;
  #simulation: PromiseSimulation | null = null;
  #running: { readonly control: AbortController; readonly ended: Promise<void> } | null = null;

  constructor(options: PromiseDeskOptions) {
    this.#options = options;
  }

  observed(): ObservedPromise {
    return this.#options.observed();
  }

  simulation(): PromiseSimulation | null {
    return this.#simulation;
  }

  simulate(settings: Settings, gunYears: number): PromiseSimulation {
    const { simulate } = this.#options;
    if (simulate === null) throw new AppError('NOT_FOUND', 'healthy guns cannot be simulated here');
    if (this.#running !== null)
      throw new AppError('TOO_MANY', 'a simulation of healthy guns is under way; wait for it or cancel it');
    const control = new AbortController();
    const started: PromiseSimulation = { settings, state: 'running', share: 0, answer: null, fault: null };
    this.#simulation = started;
    const progress = (share: number): void => {
      if (this.#running?.control === control) this.#simulation = { ...started, share };
    };
    const settle = (how: Partial<PromiseSimulation> | null): void => {
      this.#running = null;
      this.#simulation = how === null ? null : { ...started, ...how };
    };
    const ended = simulate({ settings, gunYears, progress, signal: control.signal }).then(
      (answer) => settle({ state: 'done', share: 1, answer }),
      (error: unknown) => settle(control.signal.aborted ? null : { state: 'refused', fault: faultOf(error) }),
    );
    this.#running = { control, ended };
    return started;
  }

  cancel(): void {
    this.#running?.control.abort();
  }

  async stop(): Promise<void> {
    const ended = this.#running?.ended;
    this.cancel();
    await ended;
  }
}

function faultOf(error: unknown): AppError {
  return error instanceof AppError
    ? error
    : new AppError('INTERNAL', 'simulating healthy guns failed', { cause: error });
}
