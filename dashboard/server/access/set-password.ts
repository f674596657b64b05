import { AppError } from '../../../collector/contract/index.ts';
import type { Actor, BookTools, Person } from '../../../collector/index.ts';
import { passwordFault, passwordRecord } from './password.ts';

/**
 * Sets a person's password on behalf of who operates the machine; sessions and links of before end.
 *
 * @throws {AppError} ACCOUNT_INVALID: not a usable password
 */
export async function setPassword(
  { store, random }: BookTools,
  person: Person,
  password: string,
  { who, origin, now }: Actor,
): Promise<void> {
  const fault = passwordFault(password, person.name);
  if (fault !== null) throw new AppError('ACCOUNT_INVALID', `password: ${fault}`);
  const record = await passwordRecord(password, random(16));
  store.transaction(() => {
    store.access.people.setPassword(person.id, record);
    store.access.people.dropLinks(person.id);
    store.access.sessions.end(person.id, now);
    store.audit.add({ at: now, who, what: 'password set', detail: person.name, origin });
  });
}
