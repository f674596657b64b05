import { z } from 'zod';

const File = z.string().min(1).max(4096);

/** Who has to sign in, and for how long that holds. */
export const Accounts = z.strictObject({
  required: z.boolean().default(false).meta({
    description: 'Nobody gets in without an account, from the first start on; true by itself once there is one',
    restart: true,
  }),
  sessionDays: z
    .number()
    .int()
    .min(1)
    .max(365)
    .default(7)
    .meta({ description: 'How long a person stays signed in', unit: 'd', restart: true }),
  sessionsOfPerson: z.number().int().min(1).max(1000).default(20).meta({
    description: 'Places where one person may be signed in at once; one more ends the oldest',
    restart: true,
  }),
});

/** Certificate and key for HTTPS and for MQTT over TLS. Both or none. */
export const Tls = z
  .strictObject({
    certificate: File.nullable().default(null).meta({
      description: 'File (PEM) with the certificate and those between it and its authority; read anew at SIGHUP',
      restart: false,
    }),
    key: File.nullable()
      .default(null)
      .meta({ description: 'File (PEM) with its private key, without a passphrase', restart: false }),
    mqttPort: z.number().int().min(0).max(65_535).default(8883).meta({
      description: 'Port for MQTT over TLS, where a certificate is given; 0 takes any free one',
      restart: true,
    }),
    plainMqtt: z.enum(['everywhere', 'loopback', 'off']).default('everywhere').meta({
      description: 'Where MQTT without TLS is taken beside it',
      restart: true,
    }),
  })
  .refine(
    ({ certificate, key }) => (certificate === null) === (key === null),
    'expected both certificate and key, or neither',
  );
export type Tls = z.infer<typeof Tls>;
