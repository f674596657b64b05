import type { Role } from '../contract/roles.ts';
import type { People, Person } from './access-records.ts';
import type { Sql } from './sql.ts';

const COLUMNS = 'id, name, role, password, created_at AS createdAt, revoked_at AS revokedAt';

/** Links that expired so long before a new one does are forgotten, ms. Source: own choice, 30 days. */
const KEPT_MS = 30 * 86_400_000;

/** People and their links to choose a password, as tables. */
export class EmbeddedPeople implements People {
  readonly #sql: Sql;

  constructor(sql: Sql) {
    this.#sql = sql;
  }

  add({ name, role, password, createdAt }: Pick<Person, 'name' | 'role' | 'password' | 'createdAt'>): Person {
    const { id } = this.#sql.run(
      'INSERT INTO person (name, role, password, created_at) VALUES (?, ?, ?, ?)',
      name,
      role,
      password,
      createdAt,
    );
    return { id, name, role, password, createdAt, revokedAt: null };
  }

  byName(name: string): Person | null {
    return this.#sql.get<Person>(`SELECT ${COLUMNS} FROM person WHERE name = ?`, name) ?? null;
  }

  byId(id: number): Person | null {
    return this.#sql.get<Person>(`SELECT ${COLUMNS} FROM person WHERE id = ?`, id) ?? null;
  }

  list(): Person[] {
    return this.#sql.all<Person>(`SELECT ${COLUMNS} FROM person ORDER BY name COLLATE NOCASE`);
  }

  setRole(id: number, role: Role): void {
    this.#sql.run('UPDATE person SET role = ? WHERE id = ?', role, id);
  }

  setPassword(id: number, password: string): void {
    this.#sql.run('UPDATE person SET password = ? WHERE id = ?', password, id);
  }

  revoke(id: number, at: number): void {
    this.#sql.run('UPDATE person SET revoked_at = ? WHERE id = ?', at, id);
  }

  restore(id: number): void {
    this.#sql.run('UPDATE person SET revoked_at = NULL WHERE id = ?', id);
  }

  addLink(person: number, hash: Uint8Array, expiresAt: number): void {
    this.#sql.write(() => {
      this.#sql.run('DELETE FROM sign_in_link WHERE expires_at < ?', expiresAt - KEPT_MS);
      this.#sql.run('INSERT INTO sign_in_link (hash, person, expires_at) VALUES (?, ?, ?)', hash, person, expiresAt);
    });
  }

  personOfLink(hash: Uint8Array, now: number): Person | null {
    const link = this.#sql.get<{ person: number }>(
      'SELECT person FROM sign_in_link WHERE hash = ? AND expires_at > ?',
      hash,
      now,
    );
    return link ? this.byId(link.person) : null;
  }

  dropLinks(person: number): void {
    this.#sql.run('DELETE FROM sign_in_link WHERE person = ?', person);
  }
}
