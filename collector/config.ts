import { z } from 'zod';
import { Accounts, Tls } from './access/access-config.ts';
import { Mapping } from './decode/mapped/mapping-config.ts';
import { Sparkplug } from './decode/sparkplug/sparkplug-config.ts';
import { ExternalBroker } from './external/external-broker-config.ts';
import { HistorianConfig } from './historian/historian-config.ts';
import { Http } from './http-config.ts';
import { RetentionConfig } from './keeping/retention-config.ts';
import { Telling } from './telling-config.ts';

const whole = (low: number, high: number) => z.number().int().min(low).max(high);
const MIB = 1024 * 1024;

/** A level of MQTT topics, or several, without wildcards and without the broker's own `$`. */
const TopicRoot = z
  .string()
  .regex(
    /^[^/+#$\p{Cc}][^+#\p{Cc}]*(?<!\/)$/u,
    'expected topic levels without wildcards, "$" in front or "/" at the ends',
  )
  .refine(
    (root) => root.split('/').every((level) => level !== '') && root.length <= 100,
    'expected at most 100 characters and no empty level',
  );

const Broker = z.strictObject({
  port: whole(0, 65_535).default(1883).meta({ description: 'MQTT port; 0 takes any free one', restart: true }),
  root: TopicRoot.default('airlines').meta({ description: 'First level of the topics of readings', restart: true }),
  maxPacketBytes: whole(1024, 64 * MIB)
    .default(8 * MIB)
    .meta({ description: 'Longest MQTT packet taken', unit: 'B', restart: true }),
  maxConnections: whole(1, 100_000).default(5000).meta({ description: 'Clients connected at once', restart: true }),
  maxConnectionsOfAccount: whole(1, 100_000)
    .default(200)
    .meta({ description: 'Connections of one account at once', restart: true }),
  maxConnectsPerSecond: whole(1, 1_000_000).default(250).meta({
    description:
      'Clients of one address that connect, twenty times as many at once; a refused or faulty one counts twice; beyond, its CONNECT waits',
    unit: '1/s',
    restart: true,
  }),
  connectTimeoutS: whole(1, 600)
    .default(10)
    .meta({ description: 'Time from the TCP connection to a complete CONNECT', unit: 's', restart: true }),
  maxClientIdBytes: whole(23, 65_535).default(256).meta({ description: 'Longest client id', unit: 'B', restart: true }),
  maxTopicBytes: whole(64, 65_535)
    .default(512)
    .meta({ description: 'Longest topic or filter', unit: 'B', restart: true }),
  maxTopicLevels: whole(4, 100).default(16).meta({ description: 'Levels of a topic or filter', restart: true }),
  maxWaitingMessages: whole(1, 65_535)
    .default(128)
    .meta({ description: 'Messages of one client that wait for their commit', restart: true }),
  maxWaitingBytes: whole(1024, 256 * MIB)
    .default(MIB / 8)
    .meta({ description: 'The same in bytes; one message may be longer', unit: 'B', restart: true }),
  maxUnreadBytes: whole(65_536, 256 * MIB)
    .default(16 * MIB)
    .meta({ description: 'Bytes kept for one client that does not read or is away', unit: 'B', restart: true }),
  maxUnreadBytesOfAll: whole(65_536, 4096 * MIB)
    .default(64 * MIB)
    .meta({
      description: 'The same of all clients together, with 200 bytes for each message',
      unit: 'B',
      restart: true,
    }),
  maxMessagesPerSecond: whole(1, 10_000_000).default(10_000).meta({
    description: 'Messages of one station, a long one counted by KiB; beyond, its connection is not read for a while',
    unit: '1/s',
    restart: true,
  }),
  maxRefusedPerSecond: whole(1, 1_000_000_000).default(2500).meta({
    description:
      'Refused messages of one account, or address without account, a long one by KiB; what else brings no readings, and each filter, counts an eighth; beyond, who sends them is not read for a while',
    unit: '1/s',
    restart: true,
  }),
  maxUnfinishedBytes: whole(65_536, 4096 * MIB)
    .default(64 * MIB)
    .meta({ description: 'Packets of all clients that are not whole or wait to be read', unit: 'B', restart: true }),
  maxSubscriptions: whole(1, 100_000).default(200).meta({ description: 'Topic filters of one client', restart: true }),
  maxSubscriptionsOfAll: whole(1, 1_000_000)
    .default(50_000)
    .meta({ description: 'Topic filters of all clients together', restart: true }),
  maxInFlightMessages: whole(1, 65_535)
    .default(1000)
    .meta({ description: 'Messages to and from one client whose handshake is not over', restart: true }),
  maxQueuedMessages: whole(0, 1_000_000)
    .default(1000)
    .meta({ description: 'Messages kept for one absent client of a session', restart: true }),
  maxRetainedMessages: whole(0, 1_000_000)
    .default(10_000)
    .meta({ description: 'Retained messages outside the topics of readings', restart: true }),
  maxRetainedBytes: whole(0, 1024 * MIB)
    .default(16 * MIB)
    .meta({ description: 'The same in bytes', unit: 'B', restart: true }),
  maxSessions: whole(0, 100_000)
    .default(5000)
    .meta({ description: 'Sessions kept, with clean session 0', restart: true }),
  sessionExpiryS: whole(60, 31_536_000)
    .default(86_400)
    .meta({ description: 'How long the session of an absent client is kept', unit: 's', restart: true }),
});

const Intake = z.strictObject({
  maxPendingBytes: whole(MIB, 1024 * MIB)
    .default(64 * MIB)
    .meta({ description: 'Payloads of all clients that wait for their commit', unit: 'B', restart: true }),
  maxPackRecords: whole(1, 1_000_000)
    .default(100_000)
    .meta({ description: 'Records of one SenML pack; a longer one is refused whole', restart: true }),
  maxNameCharacters: whole(32, 4096)
    .default(256)
    .meta({ description: 'Longest name of a record, with its base name', restart: true }),
  maxTextCharacters: whole(1, 4096).default(80).meta({ description: 'Longest powder id', restart: true }),
});

/** The operation of the service: what `--config` may hold. Every key has a default. */
export const OperationConfig = z.strictObject({
  bind: z.string().min(1).max(255).default('127.0.0.1').meta({ description: 'Address to listen on', restart: true }),
  broker: Broker.prefault({}),
  intake: Intake.prefault({}),
  externalBroker: ExternalBroker.prefault({}),
  mappings: z
    .array(Mapping)
    .max(500)
    .default([])
    .meta({ description: 'How JSON messages of other topics become readings', restart: true }),
  sparkplug: Sparkplug.prefault({}),
  http: Http.prefault({}),
  retention: RetentionConfig.prefault({}),
  historian: HistorianConfig.prefault({}),
  tls: Tls.prefault({}),
  accounts: Accounts.prefault({}),
  telling: Telling.prefault({}),
});
export type OperationConfig = z.infer<typeof OperationConfig>;
