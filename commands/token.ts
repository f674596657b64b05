import type { Command } from 'commander';
import { AppError, formatTime, quoted, type Role } from '../collector/contract/index.ts';
import { type AccountDesk, addToken, revokeToken, wallPath } from '../dashboard/index.ts';
import { accountCommand, columns, remark, roleArgument } from './account-command.ts';
import { command } from './command.ts';

export function addTokenCommand(program: Command): void {
  const token = command(program, 'token', 'Tokens of programs, and links of wall screens.');

  accountCommand<{ role: Role }>(
    token,
    'add',
    'Give a program a token; prints it, and it is not shown again.',
    (desk, name, { role }) => {
      const { secret } = addToken(desk, { name, kind: 'api', role }, desk.actor);
      remark(`token "${name}" (${role}), for "Authorization: Bearer …", which is shown this once:`);
      return secret;
    },
    { argument: 'name', create: true },
  ).requiredOption('--role <role>', 'the least that it needs: wall, fitter, engineer or administrator', roleArgument);

  accountCommand(
    token,
    'wall',
    'Make the link that a wall screen opens, which only reads; prints it, and it is not shown again.',
    (desk, name) => {
      const { secret } = addToken(desk, { name, kind: 'wall', role: 'wall' }, desk.actor);
      remark(`link of the wall screen "${name}", which is shown this once:`);
      return `${desk.url}${wallPath(secret)}`;
    },
    { argument: 'name', create: true },
  );

  accountCommand(token, 'list', 'List all tokens and links, without their secrets.', listed);

  accountCommand(
    token,
    'revoke',
    'Take a token or link away, by its number in the list.',
    (desk, id) => {
      const { name } = revokeToken(desk.store, numberOf(id), desk.actor);
      remark(`"${name}" lets nobody in any more`);
      return '';
    },
    { argument: 'number' },
  );
}

/** @throws {AppError} USAGE: not a number of the list */
function numberOf(id: string): number {
  if (!/^[1-9]\d{0,14}$/.test(id))
    throw new AppError('USAGE', `number: found ${quoted(id)}, expected a number that "driftline token list" shows`);
  return Number(id);
}

function listed({ store }: AccountDesk): string {
  return columns(
    store.access.tokens
      .list()
      .map(({ id, kind, name, role, createdAt, revokedAt }) => [
        String(id),
        kind === 'wall' ? 'wall link' : 'token',
        name,
        role,
        revokedAt === null ? 'active' : 'revoked',
        `since ${formatTime(createdAt)}`,
      ]),
  );
}
