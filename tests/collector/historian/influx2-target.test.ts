import { once } from 'node:events';
import { type AddressInfo, createServer, type Socket } from 'node:net';
import { expect, onTestFinished, test } from 'vitest';
import { HistorianConfig } from '../../../collector/historian/historian-config.ts';
import { Influx2Target } from '../../../collector/historian/influx2-target.ts';
import { PointsRefused } from '../../../collector/historian/target.ts';

/** A target whose server answers as the bytes say. */
async function targetOf(answer: (socket: Socket) => void): Promise<Influx2Target> {
  const sockets: Socket[] = [];
  const server = createServer((socket) => {
    sockets.push(socket);
    socket.on('error', () => undefined).once('data', () => answer(socket));
  }).listen(0, '127.0.0.1');
  await once(server, 'listening');
  onTestFinished(() => {
    server.close();
    for (const socket of sockets) socket.destroy();
  });
  const url = `http://127.0.0.1:${(server.address() as AddressInfo).port}`;
  return new Influx2Target(HistorianConfig.parse({ kind: 'influx2', url, timeoutS: 1 }));
}

/** Goes on sending so that the connection is never silent. */
const trickle = (head: string, piece: string) => (socket: Socket) => {
  socket.write(head);
  const timer = setInterval(() => socket.write(piece), 100);
  socket.on('close', () => clearInterval(timer));
};
const points = [{ measurement: 'reading', tags: { site: 'hall-2' }, fields: { 'conveying/pressure': 1.6 }, time: 1 }];

test.each([
  ['whose body trickles in', trickle('HTTP/1.1 500 No\r\nContent-Length: 100000\r\n\r\n', 'x')],
  ['whose headers trickle in', trickle('HTTP/1.1 204 OK\r\n', 'X-More: yes\r\n')],
])('an answer %s has an end, and its points wait', async (_, answer) => {
  const target = await targetOf(answer);
  const fault: unknown = await target.write(points).catch((error: unknown) => error);
  expect(fault).toMatchObject({ message: 'InfluxDB did not answer in time' });
  expect(fault).not.toBeInstanceOf(PointsRefused);
});

test('an answer that breaks off is a fault, and its points wait', async () => {
  const target = await targetOf((socket) => {
    socket.write('HTTP/1.1 200 OK\r\nContent-Length: 100\r\n\r\nabc', () => socket.destroy());
  });
  const fault: unknown = await target.write(points).catch((error: unknown) => error);
  expect(fault).toBeInstanceOf(Error);
  expect(fault).not.toBeInstanceOf(PointsRefused);
});

test('an answer without a body is the end of it', async () => {
  const target = await targetOf((socket) => socket.end('HTTP/1.1 204 No Content\r\n\r\n'));
  await expect(target.write(points)).resolves.toBeUndefined();
});
