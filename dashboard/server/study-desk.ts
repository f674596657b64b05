import type { Readable } from 'node:stream';
import type { AskedStudy, BundleQuestion, Studies, StudyAnswer, StudyQuestion } from '../../analyzer/index.ts';
import { AppError } from '../../collector/contract/index.ts';

/** Source: own choice, because one thread answers them one after the other, and a person asks a few at a time. */
const MOST_WAITING = 8;
/** Answers kept for whoever comes back for them. Source: own choice, because a curve is some 20 kB. */
const MOST_KEPT = 24;

/** Where a study stands. */
export interface StudyState {
  readonly id: string;
  readonly question: StudyQuestion | BundleQuestion;
  readonly state: 'running' | 'done' | 'refused';
  readonly asked: AskedStudy;
  readonly answer: StudyAnswer | null;
  readonly fault: AppError | null;
}

/** A bundle on its way in. */
export interface ArrivingBundle {
  readonly id: string;
  /** As the sender's machine calls it. */
  readonly file: string;
  /** Of the whole, and those that are here. */
  readonly bytes: number;
  readonly received: number;
}

/** Where bundles lie on their way in and out. */
export interface StudyFiles {
  readonly maxPieceBytes: number;
  /** Makes room for a bundle; one that the same person began to send goes on where that ended. @throws {AppError} BODY_TOO_LARGE, DISK_FULL */
  begin(file: string, bytes: number, who: string): Promise<ArrivingBundle>;
  /** Takes the next piece. @param offset bytes that the sender takes to be here @throws {AppError} NOT_FOUND, EDITED_MEANWHILE, BODY_TOO_LARGE */
  append(id: string, offset: number, from: Readable): Promise<ArrivingBundle>;
  /** Lets one that has arrived, or not, go. @throws {AppError} NOT_FOUND */
  forget(id: string): void;
  /** Hands a whole one over: its name, and the file, which the caller drops. @throws {AppError} NOT_FOUND; EDITED_MEANWHILE: it is not whole */
  take(id: string): { readonly name: string; readonly file: string };
  /** A file that is not there yet. */
  newFile(): string;
  /** Its bytes; it is gone when they were read. */
  open(file: string): Readable;
  drop(file: string): void;
}

/** Studies that were asked for over HTTP: their answers wait here for the page that asked. */
export class StudyDesk {
  readonly #studies: Studies;
  readonly files: StudyFiles;
  readonly #states = new Map<string, StudyState>();
  #next = 1;

  constructor(studies: Studies, files: StudyFiles) {
    this.#studies = studies;
    this.files = files;
  }

  /** @throws {AppError} TOO_MANY while too many are under way */
  ask(question: StudyQuestion | BundleQuestion): StudyState {
    this.#checkFree();
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

  /**
   * Has a bundle that has arrived asked again.
   *
   * @throws {AppError} NOT_FOUND; EDITED_MEANWHILE: it is not whole; TOO_MANY while too many are under way, and it stays
   */
  open(bundle: string): StudyState {
    this.#checkFree();
    const { name, file } = this.files.take(bundle);
    const drop = (): void => this.files.drop(file);
    const state = this.ask({ kind: 'open', name, file });
    state.asked.answer.then(drop, drop);
    return state;
  }

  /**
   * A comparison that was answered, as the bytes of a bundle.
   *
   * @throws {AppError} NOT_FOUND; STUDY_UNUSABLE: it is no comparison, or its history has changed since
   */
  async save(id: string): Promise<Readable> {
    const { asked, question, answer } = this.get(id);
    if (question.kind === 'open' || answer?.kind !== 'compare')
      throw new AppError('STUDY_UNUSABLE', `study ${id}: found no answered comparison, expected one to save`);
    const file = this.files.newFile();
    try {
      await this.#studies.save({ id: asked.id, question, report: answer.report }, file);
    } catch (error) {
      this.files.drop(file);
      throw error;
    }
    return this.files.open(file);
  }

  /** Ends a study, or lets its answer go. @throws {AppError} NOT_FOUND */
  cancel(id: string): void {
    this.get(id).asked.cancel();
    this.#states.delete(id);
  }

  #checkFree(): void {
    const running = [...this.#states.values()].filter(({ state }) => state === 'running').length;
    if (running >= MOST_WAITING)
      throw new AppError('TOO_MANY', `${running} studies are under way; wait for one or cancel one`);
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
