import { type Command, Option } from 'commander';
import { formatTime } from '../collector/contract/index.ts';
import { addStation, revokeStation, rotateStation, type StationAccount } from '../collector/index.ts';
import type { AccountDesk } from '../dashboard/index.ts';
import { accountCommand, columns, remark } from './account-command.ts';
import { command } from './command.ts';

export function addStationCommand(program: Command): void {
  const station = command(program, 'station', 'Accounts of stations, and of readers of gun conditions, over MQTT.');
  const named = { argument: 'station' };

  accountCommand<{ kind: StationAccount['kind'] }>(
    station,
    'add',
    'Give a station an account; prints its secret, which is not shown again.',
    (desk, name, { kind }) => {
      if (desk.stations === null)
        remark('no service has run on this folder yet: whether it has that station is not known');
      const { secret } = addStation(desk, { name, kind }, desk.stations, desk.actor);
      remark(`user name "${name}"; the password, which is shown this once:`);
      return secret;
    },
    { ...named, create: true },
  ).addOption(
    new Option(
      '--kind <kind>',
      'station: sends its own readings; reader: hears gun conditions (andon, PLC); gateway: sends topics that the configuration maps',
    )
      .choices(['station', 'reader', 'gateway'])
      .default('station'),
  );

  accountCommand(station, 'list', 'List all accounts.', listed);

  accountCommand<{ bringBack: boolean }>(
    station,
    'rotate',
    'Give an account a new secret; connections with the one before end.',
    (desk, name, { bringBack }) => {
      const { secret } = rotateStation(desk, name, desk.actor, bringBack);
      remark(`user name "${name}"; the new password, which is shown this once:`);
      return secret;
    },
    named,
  ).option('--bring-back', 'also where the account was revoked: it holds again', false);

  accountCommand(
    station,
    'revoke',
    'Take an account away; its connections end.',
    (desk, name) => {
      revokeStation(desk.store, name, desk.actor);
      remark(`${name} may not connect any more`);
      return '';
    },
    named,
  );
}

function listed({ store }: AccountDesk): string {
  return columns(
    store.access.stations
      .list()
      .map(({ name, kind, createdAt, rotatedAt, revokedAt }) => [
        name,
        kind,
        revokedAt === null ? 'active' : 'revoked',
        `secret of ${formatTime(rotatedAt ?? createdAt)}`,
      ]),
  );
}
