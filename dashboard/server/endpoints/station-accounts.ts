import { z } from 'zod';
import type { Code } from '../../../collector/contract/index.ts';
import { addStation, revokeStation, rotateStation, type StationAccount } from '../../../collector/index.ts';
import { actorOf } from '../access/desk.ts';
import { deskOf } from '../access/desk-of.ts';
import { endpoint, ok } from '../endpoint.ts';

const PROBLEMS: readonly Code[] = ['ACCOUNT_INVALID', 'NOT_FOUND'];
const KINDS = ['station', 'reader', 'gateway'] as const;

export const StationAccountShown = z
  .strictObject({
    name: z.string().meta({ description: 'Also the user name over MQTT' }),
    kind: z.enum(KINDS).meta({
      description:
        'station: sends its own readings; reader: hears gun conditions; gateway: sends topics that are mapped',
    }),
    since: z.iso.datetime(),
    secretSince: z.iso.datetime(),
    revoked: z.boolean(),
  })
  .meta({ id: 'StationAccount' });
export type StationAccountShown = z.infer<typeof StationAccountShown>;

export const NewStationSecret = z
  .strictObject({ name: z.string(), secret: z.string().meta({ description: 'The password over MQTT' }) })
  .meta({ id: 'NewStationSecret' });
export type NewStationSecret = z.infer<typeof NewStationSecret>;

const Name = z.strictObject({ name: z.string().min(1).max(40) });

export const stationAccounts = endpoint({
  method: 'get',
  path: '/api/station-accounts',
  summary: 'What may connect over MQTT',
  role: 'administrator',
  success: { 200: 'Accounts' },
  answer: z.array(StationAccountShown),
  problems: ['NOT_FOUND'],
  handle: (call) => ok(deskOf(call).source.store.access.stations.list().map(shown)),
});

export const addStationAccount = endpoint({
  method: 'post',
  path: '/api/station-accounts',
  summary: 'Gives a station, or a reader of gun conditions, an account over MQTT',
  role: 'administrator',
  body: z
    .strictObject({ name: z.string().min(1).max(40), kind: z.enum(KINDS).default('station') })
    .meta({ id: 'StationAccountBody' }),
  success: { 201: 'Added; the secret is shown this once' },
  answer: NewStationSecret,
  problems: PROBLEMS,
  audits: true,
  handle(call, { body }) {
    const desk = deskOf(call);
    desk.refuseBeforeAdministrator();
    const { stations } = desk.source;
    const { account, secret } = addStation(desk.tools, body, stations, actorOf(call.caller, call.clock.now()));
    desk.source.changed();
    return { status: 201, body: { name: account.name, secret } };
  },
});

export const rotateStationSecret = endpoint({
  method: 'post',
  path: '/api/station-accounts/:name/secret',
  summary: 'Gives an account a new secret; connections with the one before end',
  role: 'administrator',
  params: Name,
  query: z.strictObject({
    bringBack: z
      .enum(['true', 'false'])
      .optional()
      .meta({ description: 'Whether a revoked account holds again; default: no' }),
  }),
  success: { 201: 'Changed; the secret is shown this once' },
  answer: NewStationSecret,
  problems: PROBLEMS,
  audits: true,
  handle(call, { params, query }) {
    const desk = deskOf(call);
    const actor = actorOf(call.caller, call.clock.now());
    const { account, secret } = rotateStation(desk.tools, params.name, actor, query.bringBack === 'true');
    desk.source.changed();
    return { status: 201, body: { name: account.name, secret } };
  },
});

export const revokeStationAccount = endpoint({
  method: 'delete',
  path: '/api/station-accounts/:name',
  summary: 'Takes an account away; its connections end',
  role: 'administrator',
  params: Name,
  success: { 200: 'Revoked' },
  answer: StationAccountShown,
  problems: PROBLEMS,
  audits: true,
  handle(call, { params }) {
    const { source } = deskOf(call);
    const account = revokeStation(source.store, params.name, actorOf(call.caller, call.clock.now()));
    source.changed();
    return ok(shown(account));
  },
});

function shown({ name, kind, createdAt, rotatedAt, revokedAt }: StationAccount): StationAccountShown {
  return {
    name,
    kind,
    since: new Date(createdAt).toISOString(),
    secretSince: new Date(rotatedAt ?? createdAt).toISOString(),
    revoked: revokedAt !== null,
  };
}
