import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { CHANNEL_NAMES, CHANNELS } from '../../../collector/contract/index.ts';
import { PACK_LIMITS } from '../../../collector/decode/decoded.ts';
import { SenmlDecoder } from '../../../collector/decode/senml.ts';
import { planStations } from '../../../collector/decode/station-plan.ts';
import { parsePlant } from '../../../collector/files/plant.ts';

const plant = parsePlant(`
site: { id: hall-1, timezone: Europe/Vienna }
guns:
  - { id: gun-01 }
  - id: gun-02
    channels: { conveying/flow: { reference: iso8778, range: [0, 8] } }
air: [{ id: dryer-out }]
`);
const NOW = Date.UTC(2026, 2, 2, 9, 10);
const SECONDS = NOW / 1000;

const decodeText = (text: string, station = 'gun-01', limits = PACK_LIMITS) =>
  new SenmlDecoder(plant, limits).decode(Buffer.from(text), station, NOW);
const decode = (pack: unknown, station = 'gun-01', limits = PACK_LIMITS) =>
  decodeText(JSON.stringify(pack), station, limits);

/** Readings as channel, ms and value, for comparing. */
const readings = (pack: unknown, station?: string) => {
  const decoded = decode(pack, station);
  if (!decoded.ok) throw new Error(decoded.detail);
  const { times, channels, values, strings } = decoded.pack;
  return times.map((time, index) => {
    const channel = CHANNELS[channels[index] as number];
    const value = values[index] as number;
    return [channel?.name, time, channel?.kind === 'string' ? strings[value] : value];
  });
};
const reasons = (pack: unknown) => {
  const decoded = decode(pack);
  if (!decoded.ok) throw new Error(decoded.detail);
  return decoded.refusals.map((refusal) => [refusal.reason, refusal.count]);
};

describe('SenmlDecoder', () => {
  it('reads a pack of a sensor node', () => {
    const pack = [
      { bn: 'urn:dev:mac:0024befffe804ff1:', bt: SECONDS, n: 'conveying/pressure', u: 'bar', v: 1.85 },
      { n: 'conveying/flow', u: 'm3/s', v: 0.001 },
      { n: 'supply/temperature', u: 'K', v: 293.15 },
      { n: 'powder/output', u: 'kg/h', v: 9 },
      { n: 'powder/id', vs: 'p-white-07' },
      { n: 'trigger', t: -0.5, vb: true },
    ];
    expect(readings(pack)).toEqual([
      ['conveying/pressure', NOW, 1.85],
      ['conveying/flow', NOW, 3.6],
      ['supply/temperature', NOW, 20],
      ['powder/output', NOW, 150],
      ['powder/id', NOW, 'p-white-07'],
      ['trigger', NOW - 500, 1],
    ]);
    const decoded = decode(pack);
    expect(decoded.ok && decoded.pack.provenance).toBe('urn:dev:mac:0024befffe804ff1:');
  });

  it('takes the canonical unit where none is named', () => {
    expect(readings([{ n: 'conveying/flow', v: 3.2 }])).toEqual([['conveying/flow', NOW, 3.2]]);
  });

  it('takes the base unit for a record without its own, right or wrong', () => {
    const pack = [
      { bu: 'kPa', n: 'conveying/pressure', v: 185 },
      { n: 'conveying/flow', v: 3 },
      { n: 'trigger', vb: false },
    ];
    expect(readings(pack)).toEqual([
      ['conveying/pressure', NOW, 1.85],
      ['trigger', NOW, 0],
    ]);
    expect(reasons(pack)).toEqual([['wrong-dimension', 1]]);
  });

  it("converts from the plant file's reference state", () => {
    // ISO 8778 to DIN 1343: 0.919590961 (reference states test), 4 m3/h · that = 3.678.
    expect(readings([{ n: 'conveying/flow', v: 4 }], 'gun-02')).toEqual([['conveying/flow', NOW, 3.678]]);
    expect(readings([{ n: 'supplementary/flow', v: 4 }], 'gun-02')).toEqual([['supplementary/flow', NOW, 4]]);
  });

  it('rounds times to 1 ms', () => {
    expect(readings([{ n: 'trigger', t: SECONDS - 1.2344, vb: true }])[0]?.[1]).toBe(NOW - 1234);
  });

  it('keeps what is more than 5 minutes ahead of the clock apart', () => {
    const at = (t: number) => ({ n: 'conveying/flow', t: SECONDS + t, v: 3 });
    const decoded = decode([at(300), at(300.001), at(86_400)]);
    if (!decoded.ok) throw new Error(decoded.detail);
    expect(decoded.pack.times).toEqual([NOW + 300_000]);
    expect(decoded.ahead).toMatchObject({ claimedTime: NOW + 300_001, count: 2 });
    expect(decoded.ahead?.pack.values).toEqual([3, 3]);
    expect(decoded.refusals.map((refusal) => refusal.reason)).toEqual(['ahead-of-clock']);
  });

  const good = { n: 'conveying/flow', v: 3 };
  it.each([
    ['unknown-channel', { n: 'conveying/speed', v: 1 }],
    ['unknown-unit', { n: 'conveying/flow', u: 'furlong', v: 1 }],
    ['unknown-unit', { n: 'conveying/pressure', u: 'psi', v: 1 }],
    ['wrong-dimension', { n: 'conveying/flow', u: 'bar', v: 1 }],
    ['wrong-kind', { n: 'conveying/flow', vs: '3' }],
    ['wrong-kind', { n: 'trigger', v: 1 }],
    ['wrong-kind', { n: 'powder/id', v: 7 }],
    ['wrong-kind', { n: 'trigger', vd: 'AQ' }],
    ['no-value', { n: 'conveying/flow', s: 3 }],
    ['out-of-range', { n: 'conveying/flow', v: 50.001 }],
    ['out-of-range', { n: 'conveying/pressure', u: 'MPa', v: 1.7 }],
    ['unusable-name', { n: 'powder/id', vs: '' }],
    ['unusable-name', { n: 'powder/id', vs: 'a\u0007b' }],
    ['unusable-name', { n: 'powder/id', vs: 'x'.repeat(81) }],
    ['before-2000', { n: 'conveying/flow', t: 946_684_799, v: 3 }],
    ['time-unreadable', { n: 'conveying/flow', t: 1e14, v: 3 }],
  ])('refuses one record as %s and keeps the others', (reason, record) => {
    const pack = [good, record, good];
    expect(reasons(pack)).toEqual([[reason, 1]]);
    expect(readings(pack)).toHaveLength(2);
  });

  it('takes each limit itself and refuses what is beyond', () => {
    for (const { name, range, dimension } of CHANNELS) {
      if (range === null || dimension === null) continue;
      const [low, high] = range;
      expect(reasons([low, high].map((v) => ({ n: name, v })))).toEqual([]);
      expect(reasons([low - 0.01, high + 0.01].map((v) => ({ n: name, v })))).toEqual([['out-of-range', 2]]);
    }
  });

  it('uses the range of the plant file', () => {
    const decoded = decode(
      [
        { n: 'conveying/flow', v: 8.8 },
        { n: 'conveying/flow', v: 8.6 },
      ],
      'gun-02',
    );
    if (!decoded.ok) throw new Error(decoded.detail);
    // 8.6 · 0.91959 = 7.908, 8.8 · 0.91959 = 8.092: the range is that of the converted value.
    expect(decoded.pack.values).toEqual([7.908]);
    expect(decoded.refusals[0]?.detail).toContain('expected -0.16 to 8 m3/h');
  });

  it('gathers refusals by reason', () => {
    expect(reasons(Array.from({ length: 50 }, () => ({ n: 'x', v: 1 })))).toEqual([['unknown-channel', 50]]);
  });

  it.each([
    ['not-json', ''],
    ['not-json', '{'],
    ['not-json', '[{"n":"trigger","vb":true}] x'],
    ['not-json', '[{"n":"conveying/flow","v":01}]'],
    ['not-json', '[{"n":"conveying/flow","v":NaN}]'],
    ['not-json', "[{'n':'conveying/flow','v':1}]"],
    ['not-json', '\ufeff[{"n":"conveying/flow","v":1}]'],
    ['not-senml', '{"n":"conveying/flow","v":1}'],
    ['not-senml', '[]'],
    ['not-senml', '[{"n":"conveying/flow","v":1E0}]'],
    ['not-senml', '[{"n":"conveying/flow","v":1},{"n":"conveying/flow"}]'],
    ['not-senml', '[{"n":"conveying/flow","v":1,"t":1e999}]'],
    ['too-large', `[{"n":"trigger","vb":true,"x":${'['.repeat(100)}${']'.repeat(100)}}]`],
  ])('refuses the whole pack as %s: %s', (reason, text) => {
    expect(decodeText(text)).toMatchObject({ ok: false, reason });
  });

  it('takes an exponent in lower case', () => {
    expect(readings([{ n: 'conveying/flow', v: 3 }])).toEqual([['conveying/flow', NOW, 3]]);
    expect(decodeText('[{"n":"conveying/flow","v":3e0},{"n":"trigger","vb":true,"x":"E"}]')).toMatchObject({
      ok: true,
    });
  });

  it('refuses bytes that are not UTF-8', () => {
    const payload = Buffer.from([0x5b, 0x22, 0xff, 0x22, 0x5d]);
    expect(new SenmlDecoder(plant).decode(payload, 'gun-01', NOW)).toMatchObject({ ok: false, reason: 'not-utf8' });
  });

  it('refuses a station that is not in the plant file', () => {
    expect(decode([good], 'gun-99')).toMatchObject({ ok: false, reason: 'unknown-station' });
  });

  it('keeps to its limits, and takes what is on them', () => {
    const limits = { ...PACK_LIMITS, bytes: 200, records: 3, nameLength: 20 };
    expect(decode([good, good, good], 'gun-01', limits)).toMatchObject({ ok: true });
    expect(decode([good, good, good, good], 'gun-01', limits)).toMatchObject({ ok: false, reason: 'too-large' });
    expect(decodeText(' '.repeat(201), 'gun-01', limits)).toMatchObject({ ok: false, reason: 'too-large' });
    // Four lists and objects a record: the pack and its record are two of them.
    const labelled = (lists: number): string =>
      JSON.stringify([{ ...good, x: Array.from({ length: lists }, () => []) }]);
    const roomy = { ...limits, bytes: 1000 };
    expect(decodeText(labelled(9), 'gun-01', roomy)).toMatchObject({ ok: true });
    expect(decodeText(labelled(10), 'gun-01', roomy)).toMatchObject({
      reason: 'too-large',
      detail: 'found 13 lists and objects, expected at most 12',
    });
    expect(decode([{ bn: '123456/', n: 'conveying/flow', v: 1 }], 'gun-01', limits)).toMatchObject({ ok: false });
    expect(decode([{ bn: '12345/', n: 'conveying/flow', v: 1 }], 'gun-01', limits)).toMatchObject({ ok: true });
  });

  it('stays quick where a pack would make it slow', () => {
    const names = { bn: 'x'.repeat(1_000_000), n: 'trigger', vb: true };
    const many = Array.from({ length: 50_000 }, () => ({ n: 'trigger', vb: true }));
    const powders = Array.from({ length: 50_000 }, (_, index) => ({ n: 'powder/id', vs: `p${index}` }));
    const sensors = Array.from({ length: 50_000 }, (_, index) => ({ n: `s${index}:trigger`, vb: true }));
    const started = performance.now();
    expect(decode([names, ...many])).toMatchObject({ ok: false, reason: 'not-senml' });
    expect(reasons(powders)).toEqual([['unusable-name', 49_744]]);
    expect(decode(sensors)).toMatchObject({ ok: true });
    expect(performance.now() - started).toBeLessThan(10_000);
  });

  it('never passes control characters on in its reasons', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary' }), fc.string({ unit: 'binary' }), (n, u) => {
        const decoded = decode([
          { n: `a:${n}`, u, v: 1 },
          { n: 'conveying/flow', u, v: 1 },
          { n: 'powder/id', vs: `${u}\n` },
        ]);
        const details = decoded.ok ? decoded.refusals.map((refusal) => refusal.detail) : [decoded.detail];
        for (const detail of details) expect(detail).not.toMatch(/\p{Cc}/u);
      }),
    );
  });
});

describe('the two ways of decoding', () => {
  const plan = planStations(plant).get('gun-02');
  if (plan === undefined) throw new Error('no plan');
  const decoder = new SenmlDecoder(plant);
  let compared = 0;
  const agree = (payload: Buffer): void => {
    const quick = decoder.decodeQuickly(payload, plan, NOW);
    if (quick === null) return;
    compared++;
    expect(quick).toEqual(decoder.decodeAny(payload, plan, NOW));
  };

  const number = fc.oneof(
    { weight: 20, arbitrary: fc.integer({ min: -50, max: 1600 }) },
    { weight: 20, arbitrary: fc.integer({ min: -10_000, max: 100_000 }).map((n) => n / 100) },
    { weight: 10, arbitrary: fc.integer({ min: 1, max: 2 ** 52 }).map((n) => n / 3e13) },
    { weight: 1, arbitrary: fc.double({ noNaN: true, noDefaultInfinity: true }) },
  );
  const time = fc.oneof(
    number,
    fc.integer({ min: -100_000, max: 400_000 }).map((ms) => SECONDS + ms / 1000),
  );
  const name = fc.oneof(
    { weight: 30, arbitrary: fc.constantFrom(...CHANNEL_NAMES) },
    { weight: 1, arbitrary: fc.constantFrom('-', 'ä', 'x/y') },
    { weight: 3, arbitrary: fc.constant('urn:x:trigger') },
  );
  const unit = fc.constantFrom('bar', 'kPa', 'Pa', 'm3/h', 'L/min', 'Cel', 'g/min', 'kg', 'lx', 'furlong', '');
  const value = fc.oneof(
    { weight: 40, arbitrary: fc.record({ v: number }) },
    { weight: 5, arbitrary: fc.record({ vs: fc.oneof(fc.string({ maxLength: 90 }), fc.constantFrom('p-1', 'p-2')) }) },
    { weight: 5, arbitrary: fc.record({ vb: fc.boolean() }) },
    { weight: 1, arbitrary: fc.record({ vd: fc.constantFrom('', 'aGk', 'aGk=', 'a') }) },
    { weight: 2, arbitrary: fc.record({ s: number }) },
    { weight: 1, arbitrary: fc.record({ v: number, vb: fc.boolean() }) },
    { weight: 1, arbitrary: fc.constant({}) },
  );
  const base = fc.record(
    {
      bn: fc.constantFrom('gun-02/', 'urn:dev:', 'a', ''),
      bt: time,
      bu: unit,
      bv: number,
      bs: number,
      bver: fc.constantFrom(10, 10, 10, 26),
    },
    { requiredKeys: [] },
  );
  const own = fc.record({ n: name, u: unit, t: time, ut: number }, { requiredKeys: ['n'] });
  const record = fc
    .tuple(
      fc.oneof({ weight: 6, arbitrary: fc.constant({}) }, base),
      fc.oneof(
        { weight: 9, arbitrary: own },
        fc.record({ n: name, foo: fc.anything(), x_: fc.constant(1) }, { requiredKeys: ['n'] }),
      ),
      value,
    )
    .map((parts) => Object.assign({}, ...parts));

  it('agree on packs of every kind', () => {
    fc.assert(
      fc.property(fc.array(record, { maxLength: 8 }), fc.constantFrom(undefined, 1, '\t'), (pack, indent) => {
        agree(Buffer.from(JSON.stringify(pack, null, indent)));
      }),
      { numRuns: 2000 },
    );
    expect(compared).toBeGreaterThan(300);
  });

  it('agree on packs with broken bytes', () => {
    const pack = `[{"bn":"a/","bt":${SECONDS}.250,"n":"conveying/flow","u":"m3/h","v":3.25},{"n":"trigger","vb":true},{"n":"powder/id","vs":"p-1","t":-1.5}]`;
    fc.assert(
      fc.property(fc.nat(pack.length - 1), fc.nat(255), fc.nat(3), (at, byte, cut) => {
        const payload = Buffer.from(pack);
        payload[at] = byte;
        agree(payload);
        agree(Buffer.from(pack.slice(0, at) + pack.slice(at + cut)));
        agree(Buffer.from(pack.slice(0, at) + pack.slice(at - cut)));
      }),
      { numRuns: 3000 },
    );
  });

  it('take the quick way for the packs of sensor nodes', () => {
    const pack =
      '[{"bn":"gun-02/","bt":1764057600.123,"n":"conveying/pressure","u":"bar","v":2.03},{"n":"trigger","vb":true }]';
    expect(decoder.decodeQuickly(Buffer.from(pack), plan, NOW)).not.toBeNull();
  });

  it('refuse junk without ever throwing', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 200 }), (junk) => {
        expect(decoder.decode(Buffer.from(junk), 'gun-01', NOW).ok).toBe(false);
      }),
    );
    fc.assert(
      fc.property(fc.json(), (text) => {
        expect(typeof decoder.decode(Buffer.from(text), 'gun-01', NOW).ok).toBe('boolean');
      }),
    );
  });
});
