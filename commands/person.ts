import { text } from 'node:stream/consumers';
import type { Command } from 'commander';
import { AppError, counted, formatTime, type Role } from '../collector/contract/index.ts';
import type { Person } from '../collector/index.ts';
import {
  type AccountDesk,
  addPerson,
  linkFor,
  passwordFault,
  restorePerson,
  revokePerson,
  setPassword,
  setRole,
  signOutEverywhere,
  welcomePath,
} from '../dashboard/index.ts';
import { accountCommand, columns, remark, roleArgument } from './account-command.ts';
import { command } from './command.ts';

const ROLE_HELP = 'wall (only looks), fitter (logs work), engineer (tunes) or administrator (accounts)';

export function addPersonCommand(program: Command): void {
  const person = command(program, 'person', 'People who sign in.');
  const named = { argument: 'name' };

  accountCommand<{ role: Role; passwordStdin?: boolean }>(
    person,
    'add',
    'Give a person an account; prints the link by which they choose their password.',
    async (desk, name, { role, passwordStdin }) => {
      if (!passwordStdin) {
        const { person: added, link } = addPerson(desk, { name, role }, desk.actor);
        remark(`${added.name} (${role}) chooses a password at, once and within 3 days:`);
        return `${desk.url}${welcomePath(link)}`;
      }
      const password = await passwordFromInput(name);
      const { person: added } = addPerson(desk, { name, role }, desk.actor);
      await setPassword(desk, added, password, desk.actor);
      remark(`${added.name} (${role}) may sign in`);
      return '';
    },
    { ...named, create: true },
  )
    .requiredOption('--role <role>', ROLE_HELP, roleArgument)
    .option('--password-stdin', 'take the password from standard input instead');

  accountCommand(person, 'list', 'List everybody who has an account, or had one.', listed);

  accountCommand<{ role: Role }>(
    person,
    'role',
    'Give a person another role.',
    (desk, name, { role }) => told(`${setRole(desk.store, name, role, desk.actor).name} is ${role} now`),
    named,
  ).requiredOption('--role <role>', ROLE_HELP, roleArgument);

  accountCommand(
    person,
    'link',
    'Make a new link by which a person chooses a password; earlier links end.',
    (desk, name) => {
      const { person: one, link } = linkFor(desk, name, desk.actor);
      remark(`${one.name} chooses a password at, once and within 3 days:`);
      return `${desk.url}${welcomePath(link)}`;
    },
    named,
  );

  accountCommand(
    person,
    'revoke',
    'Take an account away; the person is signed out everywhere.',
    (desk, name) => told(`${revokePerson(desk.store, name, desk.actor).name} may not sign in any more`),
    named,
  );

  accountCommand(
    person,
    'restore',
    'Give a revoked account back.',
    (desk, name) => told(`${restorePerson(desk.store, name, desk.actor).name} may sign in again`),
    named,
  );

  accountCommand(
    person,
    'sign-out',
    'Sign a person out everywhere.',
    (desk, name) => told(`${counted(signOutEverywhere(desk.store, name, desk.actor), 'session')} ended`),
    named,
  );
}

function listed({ store, actor }: AccountDesk): string {
  const state = ({ revokedAt, password }: Person): string =>
    revokedAt !== null ? 'revoked' : password === null ? 'invited' : 'active';
  const rows = store.access.people
    .list()
    .map((one) => [
      one.name,
      one.role,
      state(one),
      `since ${formatTime(one.createdAt)}`,
      counted(store.access.sessions.list(actor.now, one.id).length, 'session'),
    ]);
  return columns(rows);
}

/** A password of one line on standard input, checked before anything is changed. */
async function passwordFromInput(name: string): Promise<string> {
  const password = (await text(process.stdin)).replace(/\r?\n$/, '');
  const fault = passwordFault(password, name);
  if (fault !== null) throw new AppError('ACCOUNT_INVALID', `password: ${fault}`);
  return password;
}

function told(sentence: string): string {
  remark(sentence);
  return '';
}
