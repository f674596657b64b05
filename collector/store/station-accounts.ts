import type { StationAccount, StationAccounts } from './access-records.ts';
import type { Sql } from './sql.ts';

const COLUMNS = 'id, name, kind, created_at AS createdAt, rotated_at AS rotatedAt, revoked_at AS revokedAt';

/** Accounts of what connects over MQTT, as a table. */
export class EmbeddedStationAccounts implements StationAccounts {
  readonly #sql: Sql;

  constructor(sql: Sql) {
    this.#sql = sql;
  }

  add(account: { name: string; kind: StationAccount['kind']; hash: Uint8Array; createdAt: number }): StationAccount {
    const { name, kind, hash, createdAt } = account;
    const { id } = this.#sql.run(
      'INSERT INTO station_account (name, kind, hash, created_at) VALUES (?, ?, ?, ?)',
      name,
      kind,
      hash,
      createdAt,
    );
    return { id, name, kind, createdAt, rotatedAt: null, revokedAt: null };
  }

  byName(name: string): StationAccount | null {
    return this.#sql.get<StationAccount>(`SELECT ${COLUMNS} FROM station_account WHERE name = ?`, name) ?? null;
  }

  secretOf(name: string): Uint8Array | null {
    return (
      this.#sql.get<{ hash: Uint8Array }>(
        'SELECT hash FROM station_account WHERE name = ? AND revoked_at IS NULL',
        name,
      )?.hash ?? null
    );
  }

  list(): StationAccount[] {
    return this.#sql.all<StationAccount>(`SELECT ${COLUMNS} FROM station_account ORDER BY name`);
  }

  setSecret(id: number, hash: Uint8Array, at: number): void {
    this.#sql.run('UPDATE station_account SET hash = ?, rotated_at = ?, revoked_at = NULL WHERE id = ?', hash, at, id);
  }

  revoke(id: number, at: number): void {
    this.#sql.run('UPDATE station_account SET revoked_at = ? WHERE id = ? AND revoked_at IS NULL', at, id);
  }
}
