import { createRequire } from 'node:module';
import fc from 'fast-check';
import { beforeEach, describe, expect, test } from 'vitest';
import { OperationConfig } from '../../../../collector/config.ts';
import { ConfiguredTranslator } from '../../../../collector/decode/mapped/translator.ts';
import { REASONS } from '../../../../collector/decode/reasons.ts';
import { rebirthCommand } from '../../../../collector/decode/sparkplug/sparkplug-payload.ts';
import { NOW, PLANT } from '../../intake/collector-under-test.ts';

// The reference library makes the payloads.
const { encodePayload, decodePayload } = createRequire(import.meta.url)('sparkplug-payload').get('spBv1.0') as {
  encodePayload(payload: object): Uint8Array;
  decodePayload(bytes: Uint8Array): object;
};

const { Payload } = createRequire(import.meta.url)('sparkplug-payload/lib/sparkplugPayloadProto.js').org.eclipse.tahu
  .protobuf as { Payload: { encode(payload: object): { finish(): Uint8Array } } };

const CONFIG = {
  sparkplug: {
    rebirthEveryS: 60,
    sources: [
      {
        node: 'edge1',
        station: { from: 'device', names: { left: 'gun-01', right: 'gun-02' } },
        metrics: [
          { metric: 'Air/Pressure', channel: 'conveying/pressure', unit: 'kPa' },
          { metric: 'Air/Flow', channel: 'conveying/flow' },
          { metric: 'Gun', channel: 'trigger' },
        ],
      },
      { node: 'edge1', device: null, station: 'dryer-out', metrics: [{ metric: 'Dew', channel: 'supply/dewpoint' }] },
    ],
  },
};

let asked: string[] = [];
let host: ConfiguredTranslator;
const start = (): void => {
  asked = [];
  host = new ConfiguredTranslator(PLANT, OperationConfig.parse(CONFIG), ({ node }) => void asked.push(node));
};
beforeEach(start);

interface Metric {
  readonly name?: string;
  readonly alias?: number;
  readonly type?: string;
  readonly value?: unknown;
  readonly [more: string]: unknown;
}
const send = (type: string, device: string | null, seq: number | null, metrics: Metric[], at = NOW) => {
  const topic = `spBv1.0/hall/${type}/edge1${device === null ? '' : `/${device}`}`;
  const payload = { timestamp: NOW, ...(seq === null ? {} : { seq }), metrics };
  const { parts, refusals, online, keep } = host.translate(topic, Buffer.from(encodePayload(payload)), at);
  const readings = parts.flatMap(({ station, decoded: { pack } }) =>
    pack.times.map((time, index) => [station, pack.channels[index], time - NOW, pack.values[index]]),
  );
  return { readings, refusals: refusals.map(({ reason }) => reason), online, kept: keep.map((one) => one.topic) };
};
const bdSeq = (value: number): Metric => ({ name: 'bdSeq', type: 'UInt64', value });
const birth = (session = 0, seq = 0) =>
  send('NBIRTH', null, seq, [bdSeq(session), { name: 'Dew', type: 'Float', value: -20 }]);
const LEFT: Metric[] = [
  { name: 'Air/Pressure', alias: 1, type: 'Float', value: 162 },
  { name: 'Air/Flow', alias: 2, type: 'Double', value: 2 },
  { name: 'Gun', alias: 3, type: 'Boolean', value: true },
  { name: 'Other', alias: 4, type: 'String', value: 'x' },
];
const born = (): void => {
  birth();
  send('DBIRTH', 'left', 1, LEFT);
};

describe('an edge node', () => {
  test('brings the values of its births, and its stations online', () => {
    expect(birth()).toEqual({
      readings: [['dryer-out', 9, 0, -20]],
      refusals: [],
      online: [{ station: 'dryer-out', online: true }],
      kept: ['spBv1.0/hall/NBIRTH/edge1'],
    });
    expect(send('DBIRTH', 'left', 1, LEFT)).toMatchObject({
      readings: [
        ['gun-01', 0, 0, 1.62],
        ['gun-01', 1, 0, 1.839],
        ['gun-01', 13, 0, 1],
      ],
      online: [{ station: 'gun-01', online: true }],
    });
    expect(asked).toEqual([]);
  });

  test('is understood by aliases, with the datatypes of the birth', () => {
    born();
    // Without a datatype, as DATA messages may be; the reference library's own encoder cannot leave it out.
    const payload = Payload.encode({
      timestamp: NOW,
      seq: 2,
      metrics: [{ alias: 1, floatValue: 170, timestamp: NOW + 5 }],
    });
    const { parts } = host.translate('spBv1.0/hall/DDATA/edge1/left', Buffer.from(payload.finish()), NOW);
    expect(parts[0]!.decoded.pack).toMatchObject({ station: 'gun-01', times: [NOW + 5], values: [1.7] });
    expect(asked).toEqual([]);
  });

  test('may send what it kept: historical values have their own times', () => {
    born();
    const old = { alias: 1, type: 'Float', value: 150, timestamp: NOW - 3_600_000, isHistorical: true };
    expect(send('DDATA', 'left', 2, [old])).toMatchObject({ readings: [['gun-01', 0, -3_600_000, 1.5]], online: [] });
  });

  test('may number the metrics of each device anew: an alias is looked up in the births of its own device', () => {
    born();
    send('DBIRTH', 'right', 2, [
      { name: 'Air/Flow', alias: 1, type: 'Float', value: 3 },
      { name: 'Air/Pressure', alias: 2, type: 'Float', value: 140 },
    ]);
    const data = (device: string, seq: number) =>
      send('DDATA', device, seq, [{ alias: 1, type: 'Float', value: 5 }]).readings;
    expect(data('left', 3)).toEqual([['gun-01', 0, 0, 0.05]]);
    expect(data('right', 4)).toEqual([['gun-02', 1, 0, 5]]);
    expect(asked).toEqual([]);
  });

  test('that gives a device other aliases is asked for its births when an old one comes', () => {
    born();
    send('DBIRTH', 'left', 2, [{ name: 'Air/Pressure', alias: 8, type: 'Float', value: 160 }]);
    expect(send('DDATA', 'left', 3, [{ alias: 1, type: 'Float', value: 160 }])).toMatchObject({
      readings: [],
      refusals: ['unknown-metric'],
    });
    expect(asked).toEqual(['edge1']);
  });

  test('is understood however often a device is born anew', () => {
    birth();
    const many = Array.from({ length: 1000 }, (_, i) => ({ name: `m${i}`, alias: i, type: 'Float', value: 1 }));
    const asBorn = (alias: number): Metric[] => [...many, { name: 'Air/Pressure', alias, type: 'Float', value: 160 }];
    for (let i = 1; i <= 25; i++) send('DBIRTH', 'left', i, asBorn(2000 + i));
    expect(send('DDATA', 'left', 26, [{ alias: 2025, type: 'Float', value: 170 }]).readings).toEqual([
      ['gun-01', 0, 0, 1.7],
    ]);
  });

  test.each([
    ['is not born yet', () => birth(), 1],
    ['has died', () => [born(), send('DDEATH', 'left', 2, [])], 3],
  ])('is asked for its births when a device sends that %s, and what explains itself is kept', (_, before, seq) => {
    before();
    expect(asked).toEqual([]);
    expect(send('DDATA', 'left', seq, [{ name: 'Air/Flow', type: 'Float', value: 2 }]).readings).toHaveLength(1);
    expect(asked).toEqual(['edge1']);
  });

  test('is understood by the births of before when a device sends after it died', () => {
    born();
    send('DDEATH', 'left', 2, []);
    expect(send('DDATA', 'left', 3, [{ alias: 1, type: 'Float', value: 160 }]).readings).toHaveLength(1);
  });

  test('is neither asked nor remembered for devices of which nothing is mapped', () => {
    birth();
    expect(send('DBIRTH', 'middle', 1, LEFT).kept).toEqual([]);
    expect(send('DDATA', 'middle', 2, [{ alias: 77, type: 'Float', value: 1 }]).refusals).toEqual(['unknown-station']);
    expect(asked).toEqual([]);
  });

  test.each([
    ['DataSet', { columns: ['a'], types: ['Float'], rows: [[1]] }, 'found a data set'],
    ['Template', { isDefinition: false, templateRef: 't', metrics: [] }, 'found a template'],
    ['Bytes', new Uint8Array([1, 2]), 'found bytes'],
  ])('is told what a %s is where a number is expected', (type, value, found) => {
    born();
    const payload = encodePayload({ timestamp: NOW, seq: 2, metrics: [{ name: 'Air/Flow', type, value }] });
    const { refusals } = host.translate('spBv1.0/hall/DDATA/edge1/left', Buffer.from(payload), NOW);
    expect(refusals).toMatchObject([{ reason: 'wrong-kind', detail: expect.stringContaining(found) }]);
  });

  test('brings no reading where the value is null, and a refusal where its quality is bad', () => {
    born();
    const quality = (value: number) => ({ Quality: { type: 'Int32', value } });
    const metrics = [
      { alias: 1, type: 'Float', value: null },
      { alias: 2, type: 'Double', value: 2, properties: quality(500) },
      { alias: 3, type: 'Boolean', value: false, properties: quality(192) },
    ];
    expect(send('DDATA', 'left', 2, metrics)).toMatchObject({
      readings: [['gun-01', 13, 0, 0]],
      refusals: ['bad-quality'],
    });
  });

  test('is asked for its births after a gap, at most once a minute, and its readings are kept', () => {
    born();
    const data = (seq: number, at: number) => send('DDATA', 'left', seq, [{ alias: 1, type: 'Float', value: 160 }], at);
    expect(data(2, NOW).readings).toHaveLength(1);
    expect(asked).toEqual([]);
    expect(data(4, NOW).readings).toHaveLength(1);
    data(9, NOW + 59_000);
    expect(asked).toEqual(['edge1']);
    data(20, NOW + 60_000);
    expect(asked).toEqual(['edge1', 'edge1']);
  });

  test('is asked later for births that a gap calls for within a minute of the last time it was asked', () => {
    born();
    const data = (seq: number, at: number) => send('DDATA', 'left', seq, [{ alias: 1, type: 'Float', value: 160 }], at);
    data(4, NOW);
    expect(asked).toEqual(['edge1']);
    born();
    data(2, NOW + 10_000);
    data(5, NOW + 20_000);
    data(6, NOW + 59_000);
    expect(asked).toEqual(['edge1']);
    data(7, NOW + 60_000);
    expect(asked).toEqual(['edge1', 'edge1']);
    born();
    data(2, NOW + 120_000);
    expect(asked).toEqual(['edge1', 'edge1']);
  });

  test('counts from 255 to 0', () => {
    birth(0, 254);
    send('DBIRTH', 'left', 255, LEFT);
    send('DDATA', 'left', 0, [{ alias: 1, type: 'Float', value: 160 }]);
    expect(asked).toEqual([]);
  });

  test('is asked for its births when it is not known, and what needs them is refused', () => {
    expect(send('DDATA', 'left', 7, [{ alias: 1, type: 'Float', value: 160 }])).toMatchObject({
      readings: [],
      refusals: ['unknown-metric'],
    });
    expect(asked).toEqual(['edge1']);
  });

  test('takes its stations offline when it dies, unless that death is of an earlier session', () => {
    born();
    birth(1);
    send('DBIRTH', 'right', 1, LEFT);
    expect(send('NDEATH', null, null, [bdSeq(0)]).online).toEqual([]);
    expect(send('NDEATH', null, null, [bdSeq(1)]).online).toEqual([
      { station: 'dryer-out', online: false },
      { station: 'gun-01', online: false },
      { station: 'gun-02', online: false },
    ]);
  });

  test('takes one station offline when its device dies', () => {
    born();
    expect(send('DDEATH', 'left', 2, []).online).toEqual([{ station: 'gun-01', online: false }]);
  });

  test('is understood across our restart by the births that were kept, and asked for new ones', () => {
    const payload = Buffer.from(encodePayload({ timestamp: NOW, seq: 1, metrics: LEFT }));
    const node = Buffer.from(encodePayload({ timestamp: NOW, seq: 0, metrics: [bdSeq(3)] }));
    host.restore([
      { topic: 'spBv1.0/hall/DBIRTH/edge1/left', payload },
      { topic: 'spBv1.0/hall/NBIRTH/edge1', payload: node },
    ]);
    expect(send('DDATA', 'left', 77, [{ alias: 1, type: 'Float', value: 160 }]).readings).toHaveLength(1);
    expect(asked).toEqual(['edge1']);
    expect(send('NDEATH', null, null, [bdSeq(2)]).online).toEqual([]);
  });

  test('forgets the kept births of its devices when it is born anew', () => {
    born();
    expect(birth(1).kept).toEqual(['spBv1.0/hall/DBIRTH/edge1/left', 'spBv1.0/hall/NBIRTH/edge1']);
  });

  test('is not forgotten for ten thousand others that somebody makes up, whose births are not all kept', () => {
    const anyNode = {
      sources: [
        { station: { from: 'device', names: { left: 'gun-01' } }, metrics: CONFIG.sparkplug.sources[0]!.metrics },
      ],
    };
    host = new ConfiguredTranslator(PLANT, OperationConfig.parse({ sparkplug: anyNode }), () => undefined);
    born();
    let kept = 0;
    for (let i = 0; i < 10_500; i++)
      for (const [type, payload] of [
        ['NDATA', encodePayload({ timestamp: NOW, seq: 1, metrics: [] })],
        ['NBIRTH', encodePayload({ timestamp: NOW, seq: 0, metrics: [] })],
      ] as const)
        kept += host.translate(`spBv1.0/hall/${type}/made-up-${i}`, Buffer.from(payload), NOW).keep.length;
    expect(kept).toBe(9999);
    expect(send('DDATA', 'left', 2, [{ alias: 1, type: 'Float', value: 160 }]).readings).toHaveLength(1);
  });

  describe('that comes when ten thousand are known', () => {
    const MOST = 10_000;
    const anyNode = {
      sources: [
        { station: { from: 'device', names: { left: 'gun-01' } }, metrics: CONFIG.sparkplug.sources[0]!.metrics },
      ],
    };
    /** What is kept of births, as the store has it. */
    const births = new Set<string>();
    let told = 0;
    const tell = (topic: string, metrics: Metric[] = [], seq = 0) => {
      const payload = Buffer.from(encodePayload({ timestamp: NOW, seq, metrics }));
      const translated = host.translate(`spBv1.0/hall/${topic}`, payload, NOW);
      for (const one of translated.keep)
        if (one.payload.length > 0) births.add(one.topic);
        else births.delete(one.topic);
      return translated;
    };
    const understands = (node: string): boolean =>
      tell(`DDATA/${node}/left`, [{ alias: 1, type: 'Float', value: 160 }], 2).parts.length === 1;
    const bornAs = (node: string): void => {
      tell(`NBIRTH/${node}`);
      tell(`DBIRTH/${node}/left`, LEFT, 1);
    };
    beforeEach(() => {
      births.clear();
      told = 0;
      const config = OperationConfig.parse({ sparkplug: anyNode });
      const ask = ({ node }: { node: string }) => void asked.push(node);
      host = new ConfiguredTranslator(PLANT, config, ask, undefined, () => void told++);
    });

    test('takes the place of one of which nothing is mapped, whose kept birth is forgotten', () => {
      bornAs('first');
      for (let i = 0; i < MOST; i++) tell(`NBIRTH/made-up-${i}`);
      bornAs('real');
      expect([understands('first'), understands('real'), told]).toEqual([true, true, 0]);
      expect(asked).toContain('real');
      expect(births.has('spBv1.0/hall/NBIRTH/made-up-0')).toBe(false);
      expect(births.has('spBv1.0/hall/NBIRTH/made-up-1')).toBe(true);
      // Asked for its births, it is born whole.
      bornAs('real');
      asked = [];
      tell('DDATA/real/left', [{ alias: 1, type: 'Float', value: 160 }], 2);
      expect(asked).toEqual([]);
    });

    test('takes the place of one that has died, and of none that lives: that is told', () => {
      for (let i = 0; i < MOST; i++) bornAs(`node-${i}`);
      bornAs('real');
      expect([understands('real'), told]).toEqual([false, 1]);
      expect(births.size).toBe(2 * MOST);
      tell('NDEATH/node-7');
      bornAs('real');
      expect([understands('real'), told]).toEqual([true, 1]);
      expect([understands('node-0'), understands('node-7')]).toEqual([true, false]);
      expect(births.has('spBv1.0/hall/DBIRTH/node-7/left')).toBe(false);
    });

    test('finds room although as many have sent births of devices that are not mapped', () => {
      for (let i = 0; i < MOST; i++) tell(`DBIRTH/made-up-${i}/middle`, LEFT);
      tell('NBIRTH/other');
      expect([...births]).toEqual(['spBv1.0/hall/NBIRTH/other']);
    });
  });

  test('with a device that the configuration does not name is refused by name', () => {
    birth();
    expect(send('DBIRTH', 'middle', 1, LEFT).refusals).toEqual(['unknown-station']);
  });

  test.each([
    ['Int8', -5, -5],
    ['Int16', -300, -300],
    ['Int32', -5, -5],
    ['Int64', -5, -5],
    ['UInt8', 5, 5],
    ['UInt16', 5, 5],
    ['UInt32', 5, 5],
    ['UInt64', 5, 5],
    ['Float', 0.25, 0.25],
    ['String', '2.5', 2.5],
  ])('sends %s %j', (type, value, read) => {
    birth();
    const [, , , got] = send('DBIRTH', 'left', 1, [{ name: 'Air/Pressure', type, value }]).readings[0] ?? [];
    expect(got ?? 'refused').toBe(read / 100 < -0.2 ? 'refused' : read / 100);
  });
});

test('the command that asks for a birth is read by the reference library', () => {
  expect(decodePayload(rebirthCommand(NOW))).toMatchObject({
    metrics: [{ name: 'Node Control/Rebirth', type: 'Boolean', value: true }],
  });
});

test('any bytes at all give readings or reasons, and never a fault', () => {
  const types = fc.constantFrom('NBIRTH', 'DBIRTH/left', 'NDATA', 'DDATA/left', 'NDEATH', 'DDEATH/left');
  const whole = Buffer.from(encodePayload({ timestamp: NOW, seq: 1, metrics: LEFT }));
  const mutated = fc.array(fc.tuple(fc.nat(whole.length - 1), fc.nat(255)), { maxLength: 6 }).map((changes) => {
    const bytes = Buffer.from(whole);
    for (const [at, byte] of changes) bytes[at] = byte;
    return bytes;
  });
  const junk = fc.uint8Array({ maxLength: 80 }).map((array) => Buffer.from(array));
  fc.assert(
    fc.property(types, fc.oneof(mutated, junk), (type, payload) => {
      const [word, device] = type.split('/');
      const topic = `spBv1.0/hall/${word}/edge1${device === undefined ? '' : `/${device}`}`;
      const { parts, refusals } = host.translate(topic, payload, NOW);
      for (const { reason } of refusals) expect(Object.keys(REASONS)).toContain(reason);
      for (const { decoded } of parts)
        for (const value of decoded.pack.values) expect(Number.isFinite(value)).toBe(true);
    }),
    { numRuns: 3000 },
  );
});
