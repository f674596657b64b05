import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { OperationConfig } from '../../../../collector/config.ts';
import { AppError } from '../../../../collector/contract/index.ts';
import { ConfiguredTranslator } from '../../../../collector/decode/mapped/translator.ts';
import { REASONS } from '../../../../collector/decode/reasons.ts';
import { parseConfigFile } from '../../../../collector/read-config.ts';
import { NOW, PLANT } from '../../intake/collector-under-test.ts';

const translator = (...mappings: object[]): ConfiguredTranslator =>
  new ConfiguredTranslator(PLANT, OperationConfig.parse({ mappings }), () => undefined);

/** What a message becomes: readings as [station, channel index, ms since NOW, value], refusals as their words. */
const read = (mapping: object, message: unknown, topic = 'gw/a/1') => {
  const { parts, refusals } = translator(mapping).translate(topic, Buffer.from(JSON.stringify(message)), NOW);
  const readings = parts.flatMap(({ station, decoded: { pack } }) =>
    pack.times.map((time, index) => [station, pack.channels[index], time - NOW, pack.values[index]]),
  );
  const words = [...refusals, ...parts.flatMap(({ decoded }) => decoded.refusals)].map(({ reason }) => reason);
  return { readings, refusals: words };
};
const PRESSURE = { channel: 'conveying/pressure', path: '$.p' };
const FLOW = { channel: 'conveying/flow', path: '$.f' };
const of = (rest: object, ...channels: object[]) => ({ topic: 'gw/#', station: 'gun-01', channels, ...rest });

describe('a mapped message', () => {
  test('gives scaled values their unit, at the time of reception', () => {
    expect(read(of({}, { ...PRESSURE, unit: 'kPa', scale: 0.1, offset: -2 }), { p: 1640 })).toEqual({
      readings: [['gun-01', 0, 0, 1.62]],
      refusals: [],
    });
  });

  test('goes through the reference state and limits of the plant file', () => {
    // gun-01 reports at 20 °C and 1 bar: ISO 8778, factor 0.91959 to DIN 1343.
    expect(read(of({}, FLOW, PRESSURE), { f: 10, p: 99 })).toEqual({
      readings: [['gun-01', 1, 0, 9.196]],
      refusals: ['out-of-range'],
    });
  });

  test('may hold several instants, each with its time', () => {
    const mapping = of({ records: '$.s[*]', time: { path: '$.t', as: 'unix-ms' } }, PRESSURE);
    const s = [0, 100, 200].map((ms) => ({ t: NOW - ms, p: 1 + ms / 1000 }));
    expect(read(mapping, { s }).readings).toEqual([
      ['gun-01', 0, 0, 1],
      ['gun-01', 0, -100, 1.1],
      ['gun-01', 0, -200, 1.2],
    ]);
  });

  test('may hold lists side by side, with as many times or one and a step', () => {
    const t = [NOW - 20, NOW - 10];
    expect(read(of({ time: { path: '$.t', as: 'unix-ms' } }, PRESSURE), { t, p: [1, 2] }).readings).toEqual([
      ['gun-01', 0, -20, 1],
      ['gun-01', 0, -10, 2],
    ]);
    expect(read(of({ time: { everyMs: 50 } }, PRESSURE), { p: [1, 2, 3] }).readings.map((row) => row[2])).toEqual([
      -100, -50, 0,
    ]);
    expect(read(of({ time: { path: '$.t', as: 'unix-ms' } }, PRESSURE), { t, p: [1, 2, 3] })).toEqual({
      readings: [],
      refusals: ['ragged'],
    });
  });

  test.each([
    ['a level of the topic', { level: 2 }, 'gw/gun-02/1', {}],
    ['a level, by another name', { level: 2, names: { '7': 'gun-02' } }, 'gw/7/1', {}],
    ['a path', { path: '$.dev' }, 'gw/a/1', { dev: 'gun-02' }],
    ['a number at a path', { path: '$.dev', names: { '12': 'gun-02' } }, 'gw/a/1', { dev: 12 }],
  ])('finds its station by %s', (_, station, topic, message) => {
    expect(read(of({ station }, PRESSURE), { p: 1, ...message }, topic).readings).toEqual([['gun-02', 0, 0, 1]]);
  });

  test('finds the station of the whole message for each record', () => {
    const mapping = of({ station: { path: '$.dev', in: 'message' }, records: '$.s[*]' }, PRESSURE);
    expect(read(mapping, { dev: 'gun-02', s: [{ p: 1 }] }).readings).toEqual([['gun-02', 0, 0, 1]]);
  });

  test.each([
    ['1', true],
    [0, false],
    ['ON', true],
    [false, false],
  ])('reads the trigger %j', (on, value) => {
    expect(read(of({}, { channel: 'trigger', path: '$.on' }), { on }).readings).toEqual([
      ['gun-01', 13, 0, Number(value)],
    ]);
  });

  test('takes null and what is not there for no reading, and says when nothing is', () => {
    expect(read(of({}, PRESSURE, FLOW), { p: null, f: 1 }).refusals).toEqual([]);
    expect(read(of({}, PRESSURE), { other: 1 }).refusals).toEqual(['nothing-mapped']);
  });

  test.each([
    ['gun-99', of({ station: 'gun-99' }, PRESSURE), { p: 1 }, 'unknown-station'],
    ['text', of({}, PRESSURE), { p: 'high' }, 'not-a-number'],
    ['a state', of({}, PRESSURE), { p: true }, 'wrong-kind'],
    ['no time', of({ time: { path: '$.t' } }, PRESSURE), { p: 1 }, 'no-time'],
    ['a time of 1970', of({ time: { path: '$.t' } }, PRESSURE), { p: 1, t: 60 }, 'before-2000'],
    [
      'a time without offset',
      of({ time: { path: '$.t' } }, PRESSURE),
      { p: 1, t: '2026-03-02T09:10:00' },
      'time-without-offset',
    ],
    ['an hour ahead', of({ time: { path: '$.t' } }, PRESSURE), { p: 1, t: NOW / 1000 + 3600 }, 'ahead-of-clock'],
  ])('with %s is refused', (_, mapping, message, reason) => {
    expect(read(mapping, message)).toEqual({ readings: [], refusals: [reason] });
  });

  test('in local time is read in its zone', () => {
    // Vienna is at UTC+1 in winter: NOW is 11:00 there.
    const mapping = of({ time: { path: '$.t', as: 'local', zone: 'Europe/Vienna' } }, PRESSURE);
    expect(read(mapping, { p: 1, t: '2026-03-03 11:00:00.250' }).readings).toEqual([['gun-01', 0, 250, 1]]);
  });

  // Directive 2000/84/EC: summer time ends at 1:00 UTC, when Vienna's clock goes from 3:00 back to 2:00.
  test.each([
    ['the first time round', '2026-10-25T00:31:00Z', '2026-10-25T00:30:00.000Z'],
    ['the second time round', '2026-10-25T01:31:00Z', '2026-10-25T01:30:00.000Z'],
    ['by a node that is a little ahead', '2026-10-25T01:29:00Z', '2026-10-25T01:30:00.000Z'],
    ['days later', '2026-10-28T12:00:00Z', '2026-10-25T00:30:00.000Z'],
  ])('of the hour that autumn shows twice, sent %s, is of the round in which it came', (_, received, time) => {
    const mapping = of({ time: { path: '$.t', as: 'local', zone: 'Europe/Vienna' } }, PRESSURE);
    const message = Buffer.from(JSON.stringify({ p: 1, t: '2026-10-25T02:30:00' }));
    const { parts } = translator(mapping).translate('gw/a/1', message, Date.parse(received));
    expect(parts.map(({ decoded }) => new Date(decoded.pack.times[0]!).toISOString())).toEqual([time]);
  });

  test('in local time with an offset is refused: it would be taken an hour and more off', () => {
    const mapping = of({ time: { path: '$.t', as: 'local', zone: 'Europe/Vienna' } }, PRESSURE);
    expect(read(mapping, { p: 1, t: '2026-03-03T10:00:00+00:00' }).refusals).toEqual(['time-unreadable']);
  });

  test('may be taken by several mappings', () => {
    const both = translator(of({}, PRESSURE), of({ station: 'gun-02' }, { ...PRESSURE, path: '$.q' }));
    const { parts } = both.translate('gw/1', Buffer.from('{"p":1,"q":2}'), NOW);
    expect(parts.map(({ station }) => station)).toEqual(['gun-01', 'gun-02']);
  });
});

test('any bytes at all give readings or reasons, and never a fault', () => {
  const all = translator(
    of({ records: '$..*', time: { path: '$.t' } }, { channel: 'conveying/pressure', path: '$..p' }),
    of({ station: { path: '$.dev' } }, PRESSURE, { channel: 'powder/id', path: '$.*' }),
  );
  const json = fc.json({ maxDepth: 5 }).map((text) => Buffer.from(text));
  const bytes = fc.uint8Array({ maxLength: 60 }).map((array) => Buffer.from(array));
  const shaped = fc.record({ t: fc.anything(), p: fc.anything(), dev: fc.anything() }).map((value) => {
    try {
      return Buffer.from(JSON.stringify(value) ?? '');
    } catch {
      return Buffer.from('[');
    }
  });
  fc.assert(
    fc.property(fc.oneof(json, bytes, shaped), (payload) => {
      const { parts, refusals } = all.translate('gw/1', payload, NOW);
      for (const { reason, detail } of refusals) {
        expect(Object.keys(REASONS)).toContain(reason);
        expect(detail).not.toBe('');
      }
      for (const { decoded } of parts)
        for (const value of decoded.pack.values) expect(Number.isFinite(value)).toBe(true);
    }),
    { numRuns: 2000 },
  );
});

describe('a mapping that cannot be', () => {
  const fault = (text: string): string => {
    try {
      OperationConfig.parse(parseConfigFile(text, 'config.yaml'));
    } catch (error) {
      if (error instanceof AppError) return error.message;
      throw error;
    }
    return 'none';
  };
  const mapping = (rest: string, channel = 'channel: conveying/pressure, path: $.p') =>
    fault(`mappings:\n  - topic: gw/#\n    station: gun-01\n    channels: [{ ${channel} }]\n${rest}`);

  test.each([
    [
      mapping('', 'channel: conveying/pressure, path: "$.p["'),
      /line 4: mappings\[0\]\.channels\[0\]\.path: found "\$\.p\[", expected a JSON path \(RFC 9535\): /,
    ],
    [
      mapping('', 'channel: conveying/pressure, path: $.p, unit: m3/h'),
      /channels\[0\]\.unit: found "m3\/h", expected one of bar Pa hPa kPa MPa \[psi\] for conveying\/pressure$/,
    ],
    [
      mapping('', 'channel: trigger, path: $.p, scale: 2'),
      /scale: found 2, expected neither scale nor offset: trigger is no number$/,
    ],
    [
      mapping('', 'channel: conveying/presure, path: $.p'),
      /channel: found "conveying\/presure", expected one of conveying\/pressure, /,
    ],
    [
      mapping('    time: { path: $.t, as: local }\n'),
      /time\.zone: found nothing, expected a zone with as: local, and only there$/,
    ],
    [mapping('    records: s\n'), /records: found "s", expected a JSON path/],
    [
      fault('mappings:\n  - topic: gw/#/x\n    station: gun-01\n    channels: [{ channel: trigger, path: $.p }]\n'),
      /line 2: mappings\[0\]\.topic: found "gw\/#\/x", expected a topic filter: /,
    ],
    [
      fault('mappings:\n  - topic: gw/1\n    station: { level: 3 }\n    channels: [{ channel: trigger, path: $.p }]\n'),
      /station\.level: found 3, expected a level of the topic "gw\/1", 1 to 2$/,
    ],
    [
      fault('externalBroker: { url: "mqtt://u:pw@host" }\n'),
      /^config\.yaml: line 1: externalBroker\.url: found a value that is not shown, expected mqtt:\/\/HOST:PORT or mqtts/,
    ],
    [
      fault('externalBroker: { url: "mqtt://host", username: u, password: 12345 }\n'),
      /password: found a value that is not shown, expected text$/,
    ],
  ])('is refused in one line: %s', (message, expected) => {
    expect(message).toMatch(expected);
    expect(message).not.toContain('\n');
  });
});
