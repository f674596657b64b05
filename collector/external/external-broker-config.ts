import { z } from 'zod';

const whole = (low: number, high: number) => z.number().int().min(low).max(high);
const text = (most: number) => z.string().min(1).max(most).nullable().default(null);
const restart = true;
const ADDRESS = 'expected mqtt://HOST:PORT or mqtts://HOST:PORT, without user, password or path';

/** The address of a broker, taken apart; null when it is none. */
export function brokerAddress(
  url: string,
): { readonly tls: boolean; readonly host: string; readonly port: number } | null {
  if (!URL.canParse(url)) return null;
  const { protocol, hostname, port, username, password, pathname, search, hash } = new URL(url);
  const tls = protocol === 'mqtts:';
  if ((!tls && protocol !== 'mqtt:') || hostname === '' || port === '0') return null;
  if (`${username}${password}${search}${hash}` !== '' || !/^\/?$/.test(pathname)) return null;
  const host = hostname.replace(/^\[(.*)\]$/, '$1');
  return { tls, host, port: port === '' ? (tls ? 8883 : 1883) : Number(port) };
}

/** The plant's own broker, from which readings come and to which conditions go; off while it has no address. */
export const ExternalBroker = z
  .strictObject({
    url: z
      .string()
      .max(300)
      .refine((url) => brokerAddress(url) !== null, ADDRESS)
      .nullable()
      .default(null)
      .meta({
        description: 'Broker to take readings from, mqtt:// or mqtts://; none: the embedded one alone',
        restart,
      }),
    username: text(200).meta({ description: 'User name there', restart }),
    password: text(1000).meta({ description: 'Password there; better in passwordFile or the environment', restart }),
    passwordFile: text(1000).meta({ description: 'File that holds the password', restart }),
    clientId: z
      .string()
      .regex(/^[A-Za-z0-9._-]{1,100}$/, 'expected 1 to 100 of A-Z a-z 0-9 . _ -')
      .nullable()
      .default(null)
      .meta({ description: 'Client id there; none: made once and kept in the store', restart }),
    caFile: text(1000).meta({
      description: 'Certificates (PEM) that are trusted for mqtts instead of the system’s',
      restart,
    }),
    certFile: text(1000).meta({ description: 'Own certificate (PEM) for mqtts', restart }),
    keyFile: text(1000).meta({ description: 'Its private key (PEM)', restart }),
    keepAliveS: whole(5, 3600)
      .default(30)
      .meta({ description: 'Longest silence on the connection', unit: 's', restart }),
    sessionExpiryS: whole(60, 4_294_967_294)
      .default(604_800)
      .meta({ description: 'How long the broker is asked to keep our session (MQTT 5)', unit: 's', restart }),
    receiveMaximum: whole(1, 65_535)
      .default(10_000)
      .meta({ description: 'Messages that the broker may send ahead of their acknowledgement (MQTT 5)', restart }),
    maxPacketBytes: whole(1024, 67_108_864)
      .default(8_388_608)
      .meta({ description: 'Longest packet that the broker may send (MQTT 5)', unit: 'B', restart }),
  })
  .superRefine((broker, context) => {
    const fault = (key: string, message: string): void => context.addIssue({ code: 'custom', path: [key], message });
    if (broker.password !== null && broker.passwordFile !== null)
      fault('passwordFile', 'expected it or password, not both');
    if (broker.username === null && (broker.password ?? broker.passwordFile) !== null)
      fault('username', 'expected a user name with the password');
    if ((broker.certFile === null) !== (broker.keyFile === null))
      fault('keyFile', 'expected certFile and keyFile together');
    const tls = broker.url !== null && brokerAddress(broker.url)?.tls === true;
    if (!tls && (broker.caFile ?? broker.certFile) !== null)
      fault('url', 'expected mqtts:// where certificates are given');
  });
export type ExternalBroker = z.infer<typeof ExternalBroker>;
