import type { Sql } from './sql.ts';

/** Adds to named counts. */
export function addCounters(sql: Sql, counters: Readonly<Record<string, number>>): void {
  for (const [name, value] of Object.entries(counters))
    sql.run(
      'INSERT INTO counter (name, value) VALUES (?, ?) ON CONFLICT DO UPDATE SET value = value + excluded.value',
      name,
      value,
    );
}

export function readCounters(sql: Sql): Record<string, number> {
  const rows = sql.all<{ name: string; value: number }>('SELECT name, value FROM counter ORDER BY name');
  return Object.fromEntries(rows.map(({ name, value }) => [name, value]));
}
