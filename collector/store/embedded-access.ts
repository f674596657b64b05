import type { AccessRecords } from './access-records.ts';
import { EmbeddedTokens } from './access-tokens.ts';
import { EmbeddedPeople } from './people.ts';
import { EmbeddedSessions } from './people-sessions.ts';
import type { Sql } from './sql.ts';
import { EmbeddedStationAccounts } from './station-accounts.ts';

/** Who may do what, in the embedded store. */
export function embeddedAccess(sql: Sql): AccessRecords {
  return {
    people: new EmbeddedPeople(sql),
    sessions: new EmbeddedSessions(sql),
    tokens: new EmbeddedTokens(sql),
    stations: new EmbeddedStationAccounts(sql),
    any: () =>
      sql.get<{ any: number }>(
        `SELECT EXISTS (SELECT 1 FROM person) OR EXISTS (SELECT 1 FROM token)
         OR EXISTS (SELECT 1 FROM station_account) AS "any"`,
      )?.any === 1,
  };
}
