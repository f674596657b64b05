import type { Sql } from './sql.ts';
import type { BrokerRecords, OnlineState, RetainedMessage } from './store.ts';

/** What a restarted broker must know again, as tables. */
export class EmbeddedBrokerRecords implements BrokerRecords {
  readonly #sql: Sql;

  constructor(sql: Sql) {
    this.#sql = sql;
  }

  retained(): RetainedMessage[] {
    return this.#sql.all<RetainedMessage>('SELECT topic, payload, qos FROM retained ORDER BY topic');
  }

  putRetained(messages: readonly RetainedMessage[]): void {
    this.#sql.write(() => {
      for (const { topic, payload, qos } of messages)
        if (payload.length === 0) this.#sql.run('DELETE FROM retained WHERE topic = ?', topic);
        else
          this.#sql.run(
            `INSERT INTO retained (topic, payload, qos) VALUES (?, ?, ?)
             ON CONFLICT DO UPDATE SET payload = excluded.payload, qos = excluded.qos`,
            topic,
            payload,
            qos,
          );
    });
  }

  online(): OnlineState[] {
    return this.#sql
      .all<{ station: string; online: number; at: number }>('SELECT station, online, at FROM online ORDER BY station')
      .map(({ station, online, at }) => ({ station, online: online === 1, at }));
  }

  putOnline(states: readonly OnlineState[]): void {
    this.#sql.write(() => {
      for (const { station, online, at } of states)
        this.#sql.run(
          `INSERT INTO online (station, online, at) VALUES (?, ?, ?)
           ON CONFLICT DO UPDATE SET online = excluded.online, at = excluded.at`,
          station,
          online ? 1 : 0,
          at,
        );
    });
  }
}
