import { once } from 'node:events';
import { createServer, type RequestListener, type ServerResponse } from 'node:http';
import type { AddressInfo, Socket } from 'node:net';
import { expect, onTestFinished, test, vi } from 'vitest';
import { HistorianConfig } from '../../../collector/historian/historian-config.ts';
import { Influx1Target } from '../../../collector/historian/influx1-target.ts';
import { PointsRefused } from '../../../collector/historian/target.ts';

async function targetOf(answer: RequestListener, timeoutS?: number): Promise<Influx1Target> {
  const server = createServer(answer).listen(0, '127.0.0.1');
  await once(server, 'listening');
  onTestFinished(() => {
    server.close();
    server.closeAllConnections();
  });
  const url = `http://127.0.0.1:${(server.address() as AddressInfo).port}`;
  return new Influx1Target(HistorianConfig.parse({ kind: 'influx1', url, timeoutS }));
}

/** A target whose server gives one answer to all. */
const answering = (status: number, body: string): Promise<Influx1Target> =>
  targetOf((_request, response) => response.writeHead(status).end(body));

const points = [{ measurement: 'reading', tags: { site: 'hall-2' }, fields: { 'conveying/pressure': 1.6 }, time: 1 }];
const faultOf = async (status: number, body: string): Promise<Error> =>
  (await answering(status, body)).write(points).then(
    () => new Error('taken'),
    (error: Error) => error,
  );

// Bodies and statuses as Debian's InfluxDB 1.6 gave them.
test.each([
  [401, '{"error":"authorization failed"}\n', 'InfluxDB answered 401 Unauthorized: authorization failed'],
  [
    403,
    '{"error":"\\"leser\\" user is not authorized to write to database \\"driftline\\""}\n',
    'InfluxDB answered 403 Forbidden: "leser" user is not authorized to write to database "driftline"',
  ],
  [404, 'no such page', 'InfluxDB answered 404 Not Found: no such page'],
  [
    500,
    '{"error":"engine: error writing WAL entry: no space left on device"}\n',
    'InfluxDB is not well: it answered 500 Internal Server Error; its own log says why, and after a full disk there it may need a restart',
  ],
])('an answer of %i is told in plain words, and its points wait', async (status, body, words) => {
  const fault = await faultOf(status, body);
  expect(fault.message).toBe(words);
  expect(fault).not.toBeInstanceOf(PointsRefused);
});

test('points that are refused for good are told so in plain words', async () => {
  const fault = await faultOf(400, '{"error":"partial write: field type conflict"}\n');
  expect(fault).toBeInstanceOf(PointsRefused);
  expect(fault.message).toBe('InfluxDB answered 400 Bad Request: partial write: field type conflict');
});

test('so is what keeps its databases from being looked up, and readings from being read back', async () => {
  const target = await answering(401, '{"error":"unable to parse authentication credentials"}\n');
  await expect(target.prepare()).rejects.toThrow(
    'InfluxDB answered 401 Unauthorized: unable to parse authentication credentials',
  );
  await expect(target.read('hall-2', 'gun-01', 0, 1).next()).rejects.toThrow(
    'InfluxDB answered 401 Unauthorized: unable',
  );
});

test.each<[string, RequestListener]>([
  ['breaks off, as of a server that is killed', (_request, response) => begin(response, () => response.destroy())],
  ['does not end', (_request, response) => begin(response, () => undefined)],
  ['does not begin', () => undefined],
])(
  'an answer that %s is waited for no longer than a request may take, and lets go of its connection',
  async (_name, answer) => {
    const open = new Set<Socket>();
    const target = await targetOf((request, response) => {
      open.add(request.socket);
      request.socket.on('close', () => open.delete(request.socket));
      answer(request, response);
    }, 1);
    await expect(target.write(points)).rejects.toThrow('InfluxDB did not answer in time');
    await expect(target.prepare()).rejects.toThrow('InfluxDB did not answer in time');
    await expect(target.read('hall-2', 'gun-01', 0, 1).next()).rejects.toThrow('InfluxDB did not answer in time');
    await vi.waitFor(() => expect(open.size).toBe(0));
  },
);

/** Headers and a part of the body have gone out. */
function begin(response: ServerResponse, then: () => void): void {
  response.writeHead(200, { 'content-length': 100 });
  response.write('{"results":', then);
}
