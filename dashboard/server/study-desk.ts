import type { AskedStudy, Studies, StudyAnswer, StudyQuestion } from '../../analyzer/index.ts';
import { AppError } from '../../collector/contract/index.ts';

/** Source: own choice, because one thread answers them one after the other, and a person asks a few at a time. */
const MOST_WAITING = 8;
/** Answers kept for whoever comes back for them. Source: own choice, because a curve is some 20 kB. */
const MOST_KEPT = 24;

/** Where a study stands. */
export interface StudyState {
  readonly id: string;
  readonly question: StudyQuestion;
  readonly state: 'running' | 'done' | 'refused';
  readonly asked: AskedStudy;
  readonly answer: StudyAnswer | null;
  readonly fault: AppError | null;
}

/** Studies that were asked for over HTTP: their answers wait here for the page that asked. */
export class StudyDesk {
  readonly #studies: Studies;
  readonly #states = new Map<string, StudyState>();
  #next = 1;

  constructor(studies: Studies) {
    this.#studies = studies;
  }

  /** @throws {AppError} TOO_MANY while too many are under way */
  ask(question: StudyQuestion): StudyState {
    const running = [...this.#states.values()].filter(({ state }) => state === 'running').length;
    if (running >= MOST_WAITING)
      throw new AppError('TOO_MANY', `${running} studies are under way; wait for one or cancel one`);
    const id = String(this.#next++);
    const asked = this.#studies.ask(question);
    const state: StudyState = { id, question, state: 'running', asked, answer: null, fault: null };
    this.#states.set(id, state);
    asked.answer.then(
      (answer) => this.#settle(id, { state: 'done', answer }),
      (error: unknown) => this.#settle(id, { state: 'refused', fault: faultOf(error) }),
    );
    this.#forgetOld();
    return state;
  }

  /** @throws {AppError} NOT_FOUND */
  get(id: string): StudyState {
    const state = this.#states.get(id);
    if (state === undefined)
      throw new AppError('NOT_FOUND', `there is no study ${id}; answers are kept for a while only`);
    return state;
  }

  /** Ends a study, or lets its answer go. @throws {AppError} NOT_FOUND */
  cancel(id: string): void {
    this.get(id).asked.cancel();
    this.#states.delete(id);
  }

  #settle(id: string, how: Partial<StudyState>): void {
    const state = this.#states.get(id);
    if (state !== undefined) this.#states.set(id, { ...state, ...how });
  }

  #forgetOld(): void {
    for (const [id, { state }] of this.#states) {
      if (this.#states.size <= MOST_KEPT) return;
      if (state !== 'running') this.#states.delete(id);
    }
  }
}

function faultOf(error: unknown): AppError {
  return error instanceof AppError ? error : new AppError('INTERNAL', 'trying settings failed', { cause: error });
}
