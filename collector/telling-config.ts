import { z } from 'zod';
import { CATEGORIES } from './contract/index.ts';

const restart = true;
const whole = (low: number, high: number) => z.number().int().min(low).max(high);
const Clock = z.union([z.literal(''), z.string().regex(/^([01]\d|2[0-3]):[0-5]\d$/, 'expected a time of day, HH:MM')]);
const Address = z
  .string()
  .max(320)
  .regex(/^[^\s@<>,]+@[^\s@<>,]+$/, 'expected a mail address');

/** An address of the service as people reach it. */
const ServiceAddress = z
  .string()
  .max(300)
  .refine(
    (text) => text === '' || /^https?:\/\/[^\s/?#]+$/.test(text),
    'expected http://HOST[:PORT] or https://HOST[:PORT]',
  );

const MailKeys = z.strictObject({
  host: z.string().max(255).default('').meta({ description: 'SMTP server; none: no mail', restart }),
  port: whole(1, 65_535).default(587).meta({ description: 'Its port', restart }),
  security: z.enum(['starttls', 'tls', 'none']).default('starttls').meta({
    description: 'starttls: refused without; tls: from the first byte; none: only on a network of your own',
    restart,
  }),
  user: z.string().max(320).default('').meta({ description: 'User name there', restart }),
  password: z
    .string()
    .max(1000)
    .default('')
    .meta({ description: 'Password there; better in the environment', restart }),
  from: z
    .union([z.literal(''), Address])
    .default('')
    .meta({ description: 'Sender of our mail', restart }),
  to: z.array(Address).max(50).default([]).meta({ description: 'Who gets it', restart }),
});

/** Half of it would be silence that nobody notices before a failure. */
const Mail = MailKeys.superRefine(({ host, from, to }, context) => {
  if (host === '') return;
  if (from === '') context.addIssue({ code: 'custom', path: ['from'], message: 'expected a sender beside the host' });
  if (to.length === 0)
    context.addIssue({ code: 'custom', path: ['to'], message: 'expected at least one address beside the host' });
});

const Webhook = z.strictObject({
  name: z.string().regex(/^(?!mail$)[a-z0-9-]{1,40}$/, 'expected 1 to 40 of a-z, 0-9 and "-", other than "mail"'),
  url: z
    .string()
    .max(2000)
    .refine(
      (text) => URL.canParse(text) && /^https?:$/.test(new URL(text).protocol),
      'expected an http or https address',
    )
    .refine((text) => !URL.canParse(text) || new URL(text).username === '', 'expected no sign-in in the address'),
  secret: z.string().min(24, 'expected at least 24 characters').max(500),
  quiet: z.boolean().default(false),
});

/** Whom driftline tells what, and when. */
export const Telling = z.strictObject({
  address: ServiceAddress.default('').meta({
    description: 'Address of this service as people reach it, for links and labels',
    restart,
  }),
  mail: Mail.prefault({}),
  webhooks: z
    .array(Webhook)
    .max(20)
    .refine((all) => new Set(all.map(({ name }) => name)).size === all.length, 'expected names that differ')
    .default([])
    .meta({
      description: 'Addresses that get signed events: name, url, secret, quiet (keeps quiet hours too)',
      restart,
    }),
  allowPrivate: z
    .array(z.string().min(1).max(255))
    .max(50)
    .default([])
    .meta({ description: 'Hosts of webhooks that may lie in private networks', restart }),
  mailAtOnce: z
    .array(z.enum(CATEGORIES))
    .default(['failure', 'out-of-specification'])
    .meta({ description: 'Findings that are mailed at once; the others stand in the daily digest', restart }),
  digestAt: Clock.default('').meta({ description: 'Local time of the daily digest, HH:MM; none: no digest', restart }),
  quietFrom: Clock.default('').meta({ description: 'Begin of the quiet hours, local time', restart }),
  quietTo: Clock.default('').meta({ description: 'Their end; what waits is told then', restart }),
  quietFailures: z.boolean().default(false).meta({ description: 'Whether failures keep the quiet hours too', restart }),
});
export type Telling = z.infer<typeof Telling>;
