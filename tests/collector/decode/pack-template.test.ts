import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { CHANNEL_NAMES } from '../../../collector/contract/index.ts';
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
`);
const NOW = Date.UTC(2026, 2, 2, 9, 10);
const plans = planStations(plant);

/** By the full parser, which knows no templates. */
const fully = (payload: Buffer, station: string) =>
  new SenmlDecoder(plant).decodeAny(payload, plans.get(station)!, NOW);

const pick = <T>(...values: T[]) => fc.constantFrom(...values);
/** JSON numbers as texts: exact, long, negative, zero in several spellings, with exponents, out of any range. */
const numberText = fc.oneof(
  fc.integer({ min: -50, max: 2000 }).map(String),
  fc.tuple(fc.integer({ min: -20, max: 20 }), fc.integer({ min: 0, max: 9999 })).map(([a, b]) => `${a}.${b}`),
  fc.double({ noNaN: true, noDefaultInfinity: true, min: -100, max: 100 }).map((value) => JSON.stringify(value)),
  pick(
    '0',
    '-0',
    '0.0',
    '-0.000',
    '1.0000000000000000001',
    '123456789.123456789',
    '1e2',
    '1E2',
    '-1e-3',
    '99999999999999999999',
  ),
);
const timeText = fc.oneof(
  fc.integer({ min: -400_000, max: 600_000 }).map((ms) => ((NOW + ms) / 1000).toFixed(3)),
  pick('0', '-5', '-0.5', '268435456', '268435455.999', '1e9', '946684799.999', '4102444800'),
);
const value = fc.oneof(
  { weight: 6, arbitrary: numberText.map((text) => `"v":${text}`) },
  pick('"vb":true', '"vb":false', '"vb":true ', '"vs":"p-1"', '"vs":"p-2"', '"v":"1"', '"vd":"AA"', '"v":1,"s":2'),
);
const record = fc
  .record({
    name: pick(...CHANNEL_NAMES, 'conveying/pressure', 'trigger', 'unknown'),
    unit: pick(null, null, 'bar', 'Pa', '[psi]', 'm3/h', 'kg'),
    t: fc.option(pick('0', '-1', '-0.25', '1.5'), { nil: null }),
    base: pick(null, null, null, '"bv":1,', '"bu":"bar",', '"bn":"x/",', '"bver":10,'),
    value,
  })
  .map(
    ({ name, unit, t, base, value }) =>
      `{${base ?? ''}"n":"${name}",${unit === null ? '' : `"u":"${unit}",`}${t === null ? '' : `"t":${t},`}${value}}`,
  );
/** A pack as text with the places of its numbers and truth values to be filled in anew. */
const pack = fc
  .tuple(timeText, fc.array(record, { minLength: 1, maxLength: 6 }))
  .map(([bt, records]) => `[{"bn":"dev:","bt":${bt}},${records.join(',')}]`);

/** The same pack again with other numbers, or with a byte changed. */
const again = (text: string) =>
  fc.oneof(
    {
      weight: 4,
      arbitrary: fc.array(numberText, { minLength: 8, maxLength: 8 }).map((numbers) => {
        let next = 0;
        return text.replace(/("(?:v|bv)":)-?[\d.eE+-]+/g, (_, label: string) => `${label}${numbers[next++ % 8]}`);
      }),
    },
    { weight: 2, arbitrary: timeText.map((time) => text.replace(/"bt":[^,}]+/, `"bt":${time}`)) },
    { weight: 1, arbitrary: fc.boolean().map((on) => text.replace(/true|false/g, on ? 'true ' : 'false')) },
    {
      weight: 2,
      arbitrary: fc
        .tuple(fc.nat(text.length - 1), fc.integer({ min: 32, max: 126 }))
        .map(([at, code]) => `${text.slice(0, at)}${String.fromCharCode(code)}${text.slice(at + 1)}`),
    },
    { weight: 1, arbitrary: fc.nat(text.length).map((at) => text.slice(0, at)) },
    { weight: 1, arbitrary: pick(' ', '\n', '}').map((more) => text + more) },
  );

describe('packs that a station sends again and again', () => {
  it('are read exactly as the full parser reads them, whatever changes between them', () => {
    fc.assert(
      fc.property(
        pack.chain((first) => fc.tuple(fc.constant(first), fc.array(again(first), { minLength: 1, maxLength: 8 }))),
        pick('gun-01', 'gun-02'),
        ([first, others], station) => {
          const decoder = new SenmlDecoder(plant);
          for (const text of [first, first, ...others, first]) {
            const payload = Buffer.from(text);
            expect(decoder.decode(payload, station, NOW), text).toEqual(fully(payload, station));
          }
        },
      ),
      { numRuns: 400 },
    );
  });

  const usual = (t: number, v: string, on: boolean) =>
    Buffer.from(`[{"bn":"gun-01/","bt":${t},"n":"conveying/pressure","v":${v}},{"n":"trigger","vb":${on}}]`);

  it('do not hold on to the bytes that they came in', () => {
    const decoder = new SenmlDecoder(plant);
    const first = usual(NOW / 1000, '2.5', true);
    decoder.decode(first, 'gun-01', NOW);
    first.fill(0);
    const decoded = decoder.decode(usual(NOW / 1000, '2.75', false), 'gun-01', NOW);
    expect(decoded).toMatchObject({
      ok: true,
      pack: { values: [2.75, 0], channels: [0, CHANNEL_NAMES.indexOf('trigger')] },
    });
  });

  it('may have more or fewer blanks behind a number', () => {
    const decoder = new SenmlDecoder(plant);
    decoder.decode(usual(NOW / 1000, '2.5 ', true), 'gun-01', NOW);
    for (const [text, kept] of [
      ['3', 3],
      ['12.25  \n', 12.25],
      ['0.5', 0.5],
    ] as const)
      expect(decoder.decode(usual(NOW / 1000, text, false), 'gun-01', NOW)).toMatchObject({
        pack: { values: [kept, 0] },
      });
  });

  it('are still refused and put aside record by record', () => {
    const decoder = new SenmlDecoder(plant);
    decoder.decode(usual(NOW / 1000, '2.5', true), 'gun-01', NOW);
    expect(decoder.decode(usual(NOW / 1000, '99', true), 'gun-01', NOW)).toMatchObject({
      pack: { values: [1] },
      refusals: [{ reason: 'out-of-range' }],
    });
    const ahead = decoder.decode(usual((NOW + PACK_LIMITS.aheadMs + 1) / 1000, '2', true), 'gun-01', NOW);
    expect(ahead).toMatchObject({ pack: { values: [] }, ahead: { count: 2 } });
  });
});
