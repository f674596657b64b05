import { isIP } from 'node:net';
import { z } from 'zod';

const whole = (low: number, high: number) => z.number().int().min(low).max(high);

const HostName = z
  .string()
  .max(255)
  .regex(/^[a-z0-9]([a-z0-9.-]*[a-z0-9])?$/i, 'expected a host name without port, such as driftline.plant.example');

const ProxyAddress = z.string().max(100).refine(isAddressOrRange, 'expected an address or a range such as 10.1.0.0/16');

/** A range of no bits would trust everybody. */
function isAddressOrRange(text: string): boolean {
  const [address = '', bits, ...rest] = text.split('/');
  // A zone (fe80::1%eth0) is of this machine's side and never in what a proxy says.
  const version = address.includes('%') ? 0 : isIP(address);
  if (version === 0 || rest.length > 0) return false;
  return bits === undefined || (/^[1-9]\d{0,2}$/.test(bits) && Number(bits) <= (version === 4 ? 32 : 128));
}

/** The HTTP side: its port, the names it goes by, and what clients may ask of it. */
export const Http = z.strictObject({
  port: whole(0, 65_535).default(8080).meta({ description: 'HTTP port; 0 takes any free one', restart: true }),
  hosts: z.array(HostName).max(50).default([]).meta({
    description: 'Host names that the service goes by, beside this machine’s own and those of its certificate',
    restart: true,
  }),
  trustedProxies: z.array(ProxyAddress).max(50).default([]).meta({
    description: 'Proxies in front whose word on a client’s address and on TLS counts',
    restart: true,
  }),
  maxBodyBytes: whole(1024, 16_777_216)
    .default(65_536)
    .meta({ description: 'Longest request body', unit: 'B', restart: true }),
  maxImportBytes: whole(1024, 17_179_869_184)
    .default(1_073_741_824)
    .meta({ description: 'Longest file of readings, or study bundle, taken over HTTP', unit: 'B', restart: true }),
  maxImportPieceBytes: whole(1024, 67_108_864)
    .default(4_194_304)
    .meta({ description: 'Longest piece of such a file that one request may bring', unit: 'B', restart: true }),
  maxHeaderBytes: whole(2048, 65_536)
    .default(16_384)
    .meta({ description: 'All headers of a request together', unit: 'B', restart: true }),
  headersTimeoutS: whole(1, 120)
    .default(10)
    .meta({ description: 'Time that a request’s headers may take', unit: 's', restart: true }),
  requestTimeoutS: whole(1, 600)
    .default(30)
    .meta({ description: 'Time that a whole request may take', unit: 's', restart: true }),
  maxConnections: whole(10, 20_000).default(1000).meta({ description: 'HTTP connections at once', restart: true }),
  maxRequestsPerMinute: whole(10, 1_000_000)
    .default(3000)
    .meta({ description: 'Requests from one address', unit: '1/min', restart: true }),
  maxChangesPerMinute: whole(1, 100_000)
    .default(300)
    .meta({ description: 'Requests from one address that change something', unit: '1/min', restart: true }),
  maxEventStreams: whole(1, 5000).default(60).meta({ description: 'Pages that listen for events', restart: true }),
  maxQueryDays: whole(1, 36_500)
    .default(3660)
    .meta({ description: 'Longest span of time that one request may ask for', unit: 'd', restart: true }),
});
export type Http = z.infer<typeof Http>;
