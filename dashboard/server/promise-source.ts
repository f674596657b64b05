import type { ObservedPromise, SimulatedPromise } from '../../analyzer/index.ts';
import type { AppError, Settings } from '../../collector/contract/index.ts';

/** A simulation of healthy guns, under way or done. */
export interface PromiseSimulation {
  /** Those that it is for: with others it tells nothing. */
  readonly settings: Settings;
  readonly state: 'running' | 'done' | 'refused';
  /** How far it has come, 0 to 1. */
  readonly share: number;
  readonly answer: SimulatedPromise | null;
  readonly fault: AppError | null;
}

/** What a service knows of its rate of false findings. */
export interface PromiseSource {
  observed(): ObservedPromise;
  /** The last that was asked for; null before the first since the start of the service. */
  simulation(): PromiseSimulation | null;
  /**
   * Starts one.
   *
   * @throws {AppError} TOO_MANY while another is under way; NOT_FOUND where none can be simulated
   */
  simulate(settings: Settings, gunYears: number): PromiseSimulation;
  /** Ends the one under way, if there is one. */
  cancel(): void;
}
