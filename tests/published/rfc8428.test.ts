import { describe, expect, it } from 'vitest';
import { type ResolvedRecord, resolvePack } from '../../collector/decode/senml-resolve.ts';
import fixture from './fixtures/E-senml-examples.json' with { type: 'json' };

// Source: RFC 8428 section 5.1 (examples), 5.1.4 (resolution), 4.2 to 4.6 (rules); worked packs of the CoRE working
// group's repository senml-spec. The fixture names what in those files does not follow the RFC's text.
const nowMs = fixture.now_used_by_working_group * 1000;

const resolved = (pack: unknown, now = nowMs): ResolvedRecord[] => {
  const result = resolvePack(pack, now);
  if (!result.ok) throw new Error(result.detail);
  return result.records;
};

const byTime = <T extends { t?: number }>(records: readonly T[]): T[] =>
  [...records].sort((left, right) => (left.t ?? 0) - (right.t ?? 0));

describe('RFC 8428 examples', () => {
  it.each(fixture.rfc_examples)('accepts $name', ({ pack }) => {
    const valued = pack.filter((record) => ['v', 'vs', 'vb', 'vd'].some((label) => label in record));
    expect(resolved(pack)).toHaveLength(valued.length);
  });

  it('resolves 5.1.3 into 5.1.4', () => {
    expect(resolved(fixture.rfc_resolution_pair.pack)).toEqual(fixture.rfc_resolution_pair.resolved);
  });

  const asWritten = fixture.working_group_pairs.filter((pair) => pair.agrees_with_rules_apart_from_bver);
  it.each(asWritten)("resolves the working group's $name", ({ pack, resolved: expected }) => {
    expect(resolved(pack)).toEqual(byTime(expected as ResolvedRecord[]));
  });

  const pair = (name: string) => {
    const found = fixture.working_group_pairs.find((one) => one.name === name);
    if (found === undefined) throw new Error(`no pair ${name}`);
    return found;
  };

  it("resolves the working group's ex3 in order of time, with its version, as 4.6 asks", () => {
    const { pack, resolved: expected } = pair('ex3');
    const withVersion = byTime(expected as ResolvedRecord[]).map((record) => ({ ...record, bver: 5 }));
    expect(resolved(pack)).toEqual(withVersion);
  });

  it("resolves the working group's ex7 with the data record that their generator dropped", () => {
    const { pack, resolved: expected } = pair('ex7');
    const nowOfFile = 1_499_109_309_000;
    const data = { n: 'urn:dev:ow:10e2073a01080063:nfv-reader', t: nowOfFile / 1000, vd: 'aGkgCg' };
    expect(resolved(pack, nowOfFile)).toEqual([...(expected as ResolvedRecord[]), data]);
  });

  it("resolves the working group's ex8 without the label that it does not know", () => {
    const { pack, resolved: expected } = pair('ex8');
    const known = expected.map((record) => Object.fromEntries(Object.entries(record).filter(([key]) => key !== 'l')));
    expect(resolved(pack)).toEqual(known);
  });

  it.each(fixture.negative_cases)('$expect', ({ pack, expect: expected }) => {
    expect(resolvePack(pack, nowMs).ok).toBe(expected.startsWith('accepted'));
  });
});

describe('RFC 8428 rules', () => {
  const limit = fixture.time_rule.threshold;

  it('takes times from 2**28 on as absolute, below as relative to now (4.5.3)', () => {
    const at = (t: number): number => (resolved([{ n: 'a', t, v: 1 }])[0] as ResolvedRecord).t;
    expect(at(limit)).toBe(limit);
    expect(new Date(at(limit) * 1000).toISOString()).toBe('1978-07-04T21:24:16.000Z');
    expect(at(limit - 1)).toBe(fixture.now_used_by_working_group + limit - 1);
    expect(at(0)).toBe(fixture.now_used_by_working_group);
    expect(at(-60)).toBe(fixture.now_used_by_working_group - 60);
  });

  it('decides on the sum of base time and time', () => {
    const [record] = resolved([{ bt: limit - 10, n: 'a', t: 10, v: 1 }]);
    expect(record?.t).toBe(limit);
  });

  it('adds base value and value, base sum and sum, a missing one counting as zero (4.5.4)', () => {
    const pack = [
      { bn: 'x', bv: 20, bs: 100, v: 1, s: 5 },
      { n: 'y', v: 2 },
      { n: 'z', s: 7 },
    ];
    expect(resolved(pack).map(({ n, v, s }) => ({ n, v, s }))).toEqual([
      { n: 'x', v: 21, s: 105 },
      { n: 'xy', v: 22, s: undefined },
      { n: 'xz', v: undefined, s: 107 },
    ]);
  });

  it('lets a base field hold until the same one appears again (4)', () => {
    const pack = [
      { bn: 'a/', bu: 'Pa', n: 'x', v: 1 },
      { n: 'y', u: 'kg', v: 2 },
      { bn: 'b/', n: 'x', v: 3 },
      { bu: 'Cel', n: 'y', v: 4 },
    ];
    expect(resolved(pack).map(({ n, u }) => `${n} ${u}`)).toEqual(['a/x Pa', 'a/y kg', 'b/x Pa', 'b/y Cel']);
  });

  it.each([
    ['an empty pack', []],
    ['an object in place of the pack', { n: 'a', v: 1 }],
    ['a record that is no object', [1]],
    ['a record that is a list', [[{ n: 'a', v: 1 }]]],
    ['a record that is null', [null]],
    ['an empty record', [{}]],
    ['a name of the wrong type', [{ n: 1, v: 1 }]],
    ['a value of the wrong type', [{ n: 'a', v: '1' }]],
    ['a boolean as text', [{ n: 'a', vb: 'true' }]],
    ['a time as text', [{ n: 'a', t: '0', v: 1 }]],
    ['null for a value', [{ n: 'a', v: null }]],
    ['no name at all', [{ v: 1 }]],
    ['a name that begins with a dash', [{ n: '-a', v: 1 }]],
    ['a base name that makes the name begin wrongly', [{ bn: '/', n: 'a', v: 1 }]],
    ['a non-ASCII name', [{ n: 'ä', v: 1 }]],
    ['padded data', [{ n: 'a', vd: 'aGk=' }]],
    ['data in the wrong alphabet', [{ n: 'a', vd: 'a+/b' }]],
    ['data of an impossible length', [{ n: 'a', vd: 'abcde' }]],
    ['a version of zero', [{ bver: 0, n: 'a', v: 1 }]],
    ['a version that is no whole number', [{ bver: 9.5, n: 'a', v: 1 }]],
    [
      'a version that comes late',
      [
        { n: 'a', v: 1 },
        { bver: 5, n: 'b', v: 1 },
      ],
    ],
    ['a time but no value', [{ bn: 'a', t: 1 }]],
    ['a label in a base-only record that must be understood', [{ bn: 'a', x_: 1 }]],
  ])('refuses %s', (_, pack) => {
    expect(resolvePack(pack, nowMs).ok).toBe(false);
  });

  it.each([
    ['every allowed character', [{ n: 'aZ0-:./_9', v: 1 }]],
    ['the default version, said', [{ bver: 10, n: 'a', v: 1 }]],
    [
      'version 10 said late',
      [
        { n: 'a', v: 1 },
        { bver: 10, n: 'b', v: 1 },
      ],
    ],
    // Source: RFC 9193 section 3 and RFC 8798 section 3: the feature "secondary units" adds 2**4.
    ['the version of packs with secondary units', [{ bver: 26, n: 'a', u: 'hPa', v: 1 }]],
    [
      'data of every possible length',
      [
        { n: 'a', vd: '' },
        { n: 'a', vd: 'ab' },
        { n: 'a', vd: 'abc' },
        { n: 'a', vd: 'ab-_' },
      ],
    ],
    ['an update time', [{ n: 'a', v: 1, ut: 60 }]],
    ['a label with an underscore inside', [{ n: 'a', v: 1, x_y: 1 }]],
  ])('accepts %s', (_, pack) => {
    expect(resolvePack(pack, nowMs).ok).toBe(true);
  });
});
