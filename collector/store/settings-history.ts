import { AppError } from '../contract/errors.ts';
import { Settings } from '../contract/settings.ts';
import type { Sql } from './sql.ts';
import type { SettingsHistory, StoredSettings } from './store.ts';

/** The versions of the settings, as a table. Versions are added, never changed. */
export class EmbeddedSettings implements SettingsHistory {
  readonly #sql: Sql;

  constructor(sql: Sql) {
    this.#sql = sql;
  }

  add(
    settings: Settings,
    record: { adopted: number; recordedAt: number; who: string; why: string; expected?: string },
  ): StoredSettings {
    return this.#sql.write(() => {
      const last = this.#sql.get<{ version: number; adopted: number }>(
        'SELECT version, adopted FROM settings ORDER BY version DESC LIMIT 1',
      );
      if (last && record.adopted < last.adopted)
        throw new AppError(
          'SETTINGS_INVALID',
          `settings adopted at ${record.adopted} ms: before version ${last.version}, which was adopted at ${last.adopted} ms`,
        );
      const version = (last?.version ?? 0) + 1;
      const { adopted, recordedAt, who, why, expected = '' } = record;
      this.#sql.run(
        'INSERT INTO settings (version, adopted, body, recorded_at, who, why, expected) VALUES (?, ?, ?, ?, ?, ?, ?)',
        version,
        adopted,
        JSON.stringify(settings),
        recordedAt,
        who,
        why,
        expected,
      );
      return { version, adopted, settings, recordedAt, who, why, expected };
    });
  }

  list(): StoredSettings[] {
    return (
      this.#sql
        .all<Omit<StoredSettings, 'settings'> & { body: string }>(
          'SELECT version, adopted, body, recorded_at AS recordedAt, who, why, expected FROM settings ORDER BY version',
        )
        // Parsed with the schema: keys that came later get their defaults.
        .map(({ body, ...record }) => ({ ...record, settings: Settings.parse(JSON.parse(body)) }))
    );
  }
}
