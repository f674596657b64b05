import { AppError } from '../contract/errors.ts';
import type { Sql } from './sql.ts';

/** Something that the shop states of itself, in one of its versions. */
export interface StatedFigures {
  /** What it is about, e.g. `costs` or `item:pump-insert`. */
  readonly subject: string;
  /** 1 for the first. */
  readonly version: number;
  readonly body: unknown;
  readonly recordedAt: number;
  readonly who: string;
}

export interface Figures {
  /**
   * States the next version.
   *
   * @param seen the version that the writer had before them, 0 where there was none
   * @throws {AppError} EDITED_MEANWHILE when somebody stated another version since
   */
  state(
    subject: string,
    body: unknown,
    record: { readonly seen: number; readonly recordedAt: number; readonly who: string },
  ): StatedFigures;
  /** The newest version of a subject. */
  current(subject: string): StatedFigures | null;
  /** The newest version of each subject that begins so. */
  currentOf(prefix: string): StatedFigures[];
  /** All versions of all subjects, in the order stated. */
  history(filter?: { from?: number; to?: number }): StatedFigures[];
}

interface Row extends Omit<StatedFigures, 'body'> {
  readonly body: string;
}

const COLUMNS = 'subject, version, body, recorded_at AS recordedAt, who';
const told = ({ body, ...row }: Row): StatedFigures => ({ ...row, body: JSON.parse(body) });

/** Versions of what the shop states of itself, as a table. Versions are added, never changed. */
export class EmbeddedFigures implements Figures {
  readonly #sql: Sql;

  constructor(sql: Sql) {
    this.#sql = sql;
  }

  state(
    subject: string,
    body: unknown,
    { seen, recordedAt, who }: { seen: number; recordedAt: number; who: string },
  ): StatedFigures {
    return this.#sql.write(() => {
      const last = this.current(subject);
      const version = last?.version ?? 0;
      if (version !== seen)
        throw new AppError(
          'EDITED_MEANWHILE',
          `what you changed was version ${seen}, and ${
            last
              ? `${last.who || 'someone'} stated version ${version} at ${new Date(last.recordedAt).toISOString()}`
              : 'nothing was stated yet (version 0)'
          }; nothing was overwritten: look at that one and change it again`,
        );
      this.#sql.run(
        'INSERT INTO figures (subject, version, body, recorded_at, who) VALUES (?, ?, ?, ?, ?)',
        ...[subject, version + 1, JSON.stringify(body), recordedAt, who],
      );
      return { subject, version: version + 1, body, recordedAt, who };
    });
  }

  current(subject: string): StatedFigures | null {
    const row = this.#sql.get<Row>(
      `SELECT ${COLUMNS} FROM figures WHERE subject = ? ORDER BY version DESC LIMIT 1`,
      subject,
    );
    return row ? told(row) : null;
  }

  currentOf(prefix: string): StatedFigures[] {
    return this.#sql
      .all<Row>(
        `SELECT ${COLUMNS} FROM figures AS one WHERE substr(subject, 1, ?) = ?
         AND version = (SELECT max(version) FROM figures WHERE subject = one.subject) ORDER BY subject`,
        prefix.length,
        prefix,
      )
      .map(told);
  }

  history(filter: { from?: number; to?: number } = {}): StatedFigures[] {
    return this.#sql
      .all<Row>(
        `SELECT ${COLUMNS} FROM figures WHERE recorded_at >= ? AND recorded_at < ? ORDER BY id`,
        filter.from ?? Number.NEGATIVE_INFINITY,
        filter.to ?? Number.POSITIVE_INFINITY,
      )
      .map(told);
  }
}
