import { expect, test, vi } from 'vitest';
import { openAccess } from '../../../collector/broker/access.ts';
import { Gate } from '../../../collector/broker/gate.ts';
import { LoopSocket } from '../../../collector/broker/loop-socket.ts';
import { silentLog } from '../../../collector/log.ts';
import { GatedSink, TEST_LIMITS } from './gated-broker.ts';
import { connectPacket, publishPacket } from './raw-client.ts';

const turn = () => new Promise<void>((resolve) => setImmediate(resolve));

test('a long packet is taken in by pieces, and others have their turns between them', async () => {
  const sink = new GatedSink();
  const limits = { ...TEST_LIMITS, maxPacketBytes: 8 * 1024 * 1024 };
  const gate = new Gate({ root: 'airlines', claims: () => false, limits, sink, access: openAccess, log: silentLog });
  const [long, quiet] = [new LoopSocket(), new LoopSocket()];
  for (const [socket, id] of [
    [long, 'long'],
    [quiet, 'quiet'],
  ] as const) {
    gate.accept(socket.socket);
    socket.push(connectPacket({ id }));
  }
  await turn();
  await turn();

  const packet = publishPacket('airlines/hall-1/gun-01', 'x'.repeat(1024 * 1024));
  const piece = 65_536;
  const pieces = Math.ceil(packet.length / piece);
  const pauses = vi.spyOn(long, 'pause');
  for (let at = 0; at < packet.length; at += piece) long.push(packet.subarray(at, at + piece));
  let turns = 0;
  let answeredAfter = 0;
  while (!sink.taken.some(({ clientId }) => clientId === 'long')) {
    if (turns === 2) quiet.push(publishPacket('airlines/hall-1/gun-02', 'pack'));
    await turn();
    turns++;
    if (answeredAfter === 0 && sink.taken.some(({ clientId }) => clientId === 'quiet')) answeredAfter = turns;
    if (turns > 1000) throw new Error('the long packet never came through');
  }
  // Source of the bound: `TURN_BYTES` is less than such a piece, so that each piece but the first and last ends a turn.
  expect(pauses.mock.calls.length).toBeGreaterThanOrEqual(pieces - 2);
  expect(answeredAfter, 'long before the long packet is whole').toBeLessThan(turns / 2);
  expect(answeredAfter).toBeGreaterThan(0);
  expect(sink.taken.map(({ payload }) => payload.length)).toEqual([4, 1024 * 1024]);
  gate.destroyAll();
});
