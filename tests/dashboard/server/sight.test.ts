import { expect, test } from 'vitest';
import { openHall } from '../open-hall.ts';

test('the sight of a gun is told by its id', async () => {
  const { get } = await openHall();
  const { status, body } = await get('/api/guns/gun-01/sight');
  expect(status).toBe(200);
  expect(body).toMatchObject({ gun: 'gun-01', parts: expect.any(Array) });
});

test('a gun that the plant does not have has none', async () => {
  const { get } = await openHall();
  expect((await get('/api/guns/gun-99/sight')).status).toBe(404);
});
