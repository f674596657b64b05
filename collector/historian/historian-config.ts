import { z } from 'zod';

const Text = z.string().max(255);

/** A long-term store beside the embedded one. */
export const HistorianConfig = z.strictObject({
  kind: z.enum(['none', 'influx1', 'influx2']).default('none').meta({
    description: 'Long-term store: InfluxDB 1.x (written and read back), 2.x (written only), or none',
    restart: true,
  }),
  url: z
    .url({ protocol: /^https?$/, error: 'expected an address such as http://127.0.0.1:8086' })
    .max(500)
    .refine((url) => !/\/\/[^/]*@/.test(url), 'expected an address without a sign-in; that has keys of its own')
    .default('http://127.0.0.1:8086')
    .meta({ description: 'Its address', restart: true }),
  database: Text.default('driftline').meta({ description: '1.x: database; made where there is none', restart: true }),
  username: Text.default('').meta({ description: '1.x: user; empty for none', restart: true }),
  password: Text.default('').meta({ description: '1.x: the user’s password', restart: true }),
  org: Text.default('').meta({ description: '2.x: organisation', restart: true }),
  bucket: Text.default('driftline').meta({ description: '2.x: bucket', restart: true }),
  token: z.string().max(1000).default('').meta({ description: '2.x: token', restart: true }),
  timeoutS: z.number().int().min(1).max(600).default(20).meta({
    description: 'Time that one request may take',
    unit: 's',
    restart: true,
  }),
});
export type HistorianConfig = z.infer<typeof HistorianConfig>;
