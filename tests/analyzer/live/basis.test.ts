import { expect, test } from 'vitest';
import { areCutsOf, basisOf, keepBasis, seenOn } from '../../../analyzer/live/basis.ts';
import { Plant } from '../../../collector/contract/index.ts';

const HALL = {
  site: { id: 'hall-2', name: 'Hall 2', timezone: 'Europe/Vienna' },
  guns: [{ id: 'gun-01', name: 'Left', supply: 'line-a' }, { id: 'gun-02' }],
  air: [{ id: 'dryer-out', name: 'Dryer' }],
  powders: [{ id: 'p-white', name: 'White', family: 'smooth' }],
};
const SEEN = { logId: 7, version: 2 } as never;

function kept(plant: string) {
  const states = new Map<string, Uint8Array>();
  const store = {
    get: (key: string) => states.get(key) ?? null,
    put: (key: string, bytes: Uint8Array) => void states.set(key, bytes),
  };
  keepBasis(store, { ...basisOf(1, Plant.parse(HALL)), plant, seen: SEEN });
  return (now: object, version = 1) => seenOn(store, basisOf(version, Plant.parse({ ...HALL, ...now })));
}

const RENAMED = {
  site: { ...HALL.site, name: 'South', units: 'us' },
  guns: [
    { id: 'gun-01', name: 'Upper left', supply: 'line-a' },
    { id: 'gun-02', name: 'Right' },
  ],
  air: [{ id: 'dryer-out' }],
  powders: [{ id: 'p-white', name: 'Pure white', family: 'smooth' }],
};

test.each([
  ['this program', basisOf(1, Plant.parse(HALL)).plant],
  ['one that kept the names too', JSON.stringify(Plant.parse(HALL))],
])('states that %s kept go on under other names and units of the screens', (_, plant) => {
  const seen = kept(plant);
  expect(seen({})).toEqual(SEEN);
  expect(seen(RENAMED)).toEqual(SEEN);
});

test.each<[string, object]>([
  ['time zone', { site: { ...HALL.site, timezone: 'America/Chicago' } }],
  ['altitude', { site: { ...HALL.site, altitude: 180 } }],
  ['line', { guns: [{ ...HALL.guns[0]!, supply: 'line-b' }, HALL.guns[1]!] }],
  ['gun', { guns: [HALL.guns[0]!] }],
  ['fitting', { air: [{ id: 'dryer-out', channels: { 'supply/pressure': {} } }] }],
])('another %s is another plant', (_, change) => {
  expect(kept(basisOf(1, Plant.parse(HALL)).plant)(change)).toBeNull();
});

test('states of another version are of no use', () => {
  expect(kept(basisOf(1, Plant.parse(HALL)).plant)({}, 2)).toBeNull();
});

test.each<[string, object, number, boolean]>([
  ['this program', {}, 1, true],
  ['another version of stage two', {}, 2, true],
  ['another time zone', { site: { ...HALL.site, timezone: 'America/Chicago' } }, 1, true],
  ['another line', { guns: [{ ...HALL.guns[0]!, supply: 'line-b' }, HALL.guns[1]!] }, 1, true],
  ['another altitude', { site: { ...HALL.site, altitude: 180 } }, 1, false],
  ['one gun less', { guns: [HALL.guns[0]!] }, 1, false],
  ['an output that is set', { guns: [{ ...HALL.guns[0]!, output: 'setpoint' }, HALL.guns[1]!] }, 1, false],
  [
    'another channel fitted',
    { guns: [{ ...HALL.guns[0]!, channels: { 'conveying/flow': {} } }, HALL.guns[1]!] },
    1,
    false,
  ],
])('states of stage one are as good under %s or not', (_, change, version, good) => {
  const basis = basisOf(1, Plant.parse(HALL));
  const states = new Map<string, Uint8Array>();
  const store = {
    get: (key: string) => states.get(key) ?? null,
    put: (key: string, bytes: Uint8Array) => void states.set(key, bytes),
  };
  const now = basisOf(version, Plant.parse({ ...HALL, ...change }));
  expect(areCutsOf(store, now)).toBe(false);
  keepBasis(store, { ...basis, seen: SEEN });
  expect(areCutsOf(store, now)).toBe(good);
  expect(areCutsOf(store, { ...now, cut: now.cut + 1 })).toBe(false);
  const { cutBy: __, ...old } = basis;
  keepBasis(store, { ...old, seen: SEEN });
  expect(areCutsOf(store, now)).toBe(false);
});
