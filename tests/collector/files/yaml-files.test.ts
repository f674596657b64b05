import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { parsePlant, readPlant } from '../../../collector/files/plant.ts';
import { parseSettings, readSettings } from '../../../collector/files/settings.ts';

const BASE = 'site: { id: hall-2, timezone: Europe/Vienna }\nguns:\n  - id: gun-01\n';

const message = (run: () => unknown): string => {
  try {
    run();
  } catch (error) {
    expect(error).toMatchObject({ name: 'AppError' });
    return (error as Error).message;
  }
  throw new Error('expected a fault');
};

describe('the plant file', () => {
  it('is read as the contract shows it', () => {
    const plant = parsePlant(`
site: { id: hall-2, name: Hall 2, timezone: Europe/Vienna, units: metric, altitude: 180 }   # units or us
guns:
  - id: gun-01
    name: Booth 1 left
    supply: line-a
    output: measured
    channels:
      conveying/flow: { reference: iso8778, range: [0, 8] }
air:
  - { id: dryer-out }
powders:
  - { id: p-white-07, name: White polyester fine }
`);
    expect(plant.site).toEqual({
      id: 'hall-2',
      name: 'Hall 2',
      timezone: 'Europe/Vienna',
      units: 'metric',
      altitude: 180,
    });
    expect(plant.guns[0]?.channels).toEqual({ 'conveying/flow': { reference: 'iso8778', range: [0, 8] } });
    expect(plant.air).toEqual([{ id: 'dryer-out' }]);
  });

  it('needs no more than the id and time zone of the site and the id of each gun', () => {
    expect(parsePlant(BASE)).toEqual({
      site: { id: 'hall-2', timezone: 'Europe/Vienna', units: 'metric', altitude: 0 },
      guns: [{ id: 'gun-01', output: 'measured' }],
      air: [],
      powders: [],
    });
  });

  it.each([
    ['', 'plant.yaml: found an empty file, expected a plant file (YAML)'],
    [' \n', 'plant.yaml: found an empty file'],
    ['# nothing\n', 'plant.yaml: found nothing but comments, expected a plant file'],
    ['null\n', 'line 1: the whole: found null, expected a mapping'],
    ['guns: [{ id: gun-01 }]\n', 'line 1: site: found nothing, expected a mapping'],
    [
      `${BASE}    outptu: measured\n`,
      'line 4: guns[0].outptu: found the unknown key "outptu", expected only id name supply output channels',
    ],
    [
      `${BASE}    output: often\n`,
      'line 4: guns[0].output: found "often", expected one of measured, setpoint, coupled',
    ],
    [`${BASE}  - id: Gun 2\n`, 'line 4: guns[1].id: found "Gun 2", expected 1 to 40 of a-z, 0-9 and "-"'],
    [`${BASE}  - id: ${'x'.repeat(41)}\n`, 'line 4: guns[1].id'],
    [
      `${BASE}  - id: gun-01\n`,
      'line 4: guns[1].id: found "gun-01", expected an id that no other gun or air point has',
    ],
    [`${BASE}air: [{ id: gun-01 }]\n`, 'line 4: air[0].id: found "gun-01"'],
    [`${BASE}    id: gun-02\n`, 'line 4: id: found the key twice, expected each key once'],
    [
      `${BASE}    channels: { conveying/fow: {} }\n`,
      'line 4: guns[0].channels.conveying/fow: found the unknown key "conveying/fow", expected only conveying/pressure',
    ],
    [
      `${BASE}    channels: { conveying/flow: { range: [8, 0] } }\n`,
      'guns[0].channels.conveying/flow.range: found a list of 2, expected [low, high] with low below high',
    ],
    [
      `${BASE}    channels: { conveying/flow: { reference: ntp } }\n`,
      'found "ntp", expected one of din1343, iso2533, iso8778, scfm68, scfm60',
    ],
    [`${BASE}    name: 7\n`, 'line 4: guns[0].name: found 7, expected text'],
    [
      BASE.replace('Europe/Vienna', 'Europe/Atlantis'),
      'line 1: site.timezone: found "Europe/Atlantis", expected an IANA time zone',
    ],
    [BASE.replace('}', ', altitude: high }'), 'line 1: site.altitude: found "high", expected a number'],
    ['site: { id: a, timezone: UTC }\nguns: []\n', 'line 2: guns: found a list of 0, expected at least 1 entry'],
    [`${BASE}---\nmore: 1\n`, 'line 4: found a second document, expected one'],
    ['guns: [\n', 'found what is no YAML'],
    ['a: *b\n', 'an alias that is unknown or used too often'],
    ['\tguns: 1\n', 'line 1: found what is no YAML (Tabs'],
  ])('is refused with one line: %#', (text, expected) => {
    const line = message(() => parsePlant(text));
    expect(line).toContain(expected);
    expect(line).toMatch(/^plant\.yaml: /);
    expect(line).not.toMatch(/\p{Cc}/u);
  });

  it('is refused with all its faults at once, up to five', () => {
    const line = message(() => parsePlant('site: { id: 1, timezone: 2, units: 3, altitude: x, more: 5 }\nguns: 7\n'));
    expect(line.match(/found/g)).toHaveLength(5);
    expect(line).toMatch(/; and 1 more$/);
  });

  const aliases = 'abcdefghi'.split('');
  it.each([
    [
      'aliases of aliases',
      `a: &a [${'x,'.repeat(9)}]\n${aliases
        .slice(1)
        .map((c, i) => `${c}: &${c} [${`*${aliases[i]},`.repeat(9)}]`)
        .join('\n')}`,
    ],
    ['open brackets', '['.repeat(500_000)],
    ['braces', '{a: '.repeat(200_000)],
    ['dashes', '- '.repeat(400_000)],
    ['question marks', '? '.repeat(400_000)],
    ['indents', Array.from({ length: 1300 }, (_, depth) => `${' '.repeat(depth)}a:`).join('\n')],
    ['many keys', Array.from({ length: 40_000 }, (_, index) => `k${index}: 1`).join('\n')],
    ['a huge file', 'a: b\n'.repeat(300_000)],
    ['NUL bytes', '\u0000'.repeat(100_000)],
    ['commas', `[${','.repeat(1_000_000)}`],
    ['quotes', '"'.repeat(1_000_000)],
    ['tags', '! '.repeat(500_000)],
  ])('is refused in little memory when it is a bomb of %s', { timeout: 120_000 }, (_, text) => {
    const before = process.memoryUsage().rss;
    expect(message(() => parsePlant(text)).length).toBeLessThan(2000);
    expect(process.memoryUsage().rss - before).toBeLessThan(600_000_000);
  });

  it('never fails but with one line without control characters', () => {
    const piece = fc.oneof(
      fc.constantFrom(
        'site:',
        'guns:',
        '- ',
        '  ',
        '\n',
        '{',
        '}',
        '[',
        ']',
        'id: gun-01',
        '&a',
        '*a',
        '!!',
        '|',
        '>',
        '"',
        "'",
        '#',
        '%',
        '---',
        '? ',
        ': ',
        ',',
      ),
      fc.string({ unit: 'binary', maxLength: 4 }),
    );
    fc.assert(
      fc.property(fc.array(piece, { maxLength: 25 }), (pieces) => {
        expect(message(() => parsePlant(pieces.join('')))).not.toMatch(/\p{Cc}/u);
      }),
      { numRuns: 400 },
    );
  });
});

describe('the settings file', () => {
  it('has defaults for everything', () => {
    const defaults = {
      falseAlarmsPerGunYear: 0.3,
      changeLimitExcessAir: 0.2,
      smallestChange: 0.05,
      leadTimeShifts: 3,
      learningRuns: 60,
      overrides: [],
    };
    expect(parseSettings('# all as it comes\n')).toEqual(defaults);
    expect(parseSettings('leadTimeShifts: 5\n')).toEqual({ ...defaults, leadTimeShifts: 5 });
  });

  it.each([
    [
      'leadTimeShift: 3\n',
      'settings.yaml: line 1: leadTimeShift: found the unknown key "leadTimeShift", expected only falseAlarmsPerGunYear',
    ],
    ['\nchangeLimitExcessAir: 20\n', 'line 2: changeLimitExcessAir: found 20, expected at most 1'],
    ['learningRuns: 60.5\n', 'line 1: learningRuns: found 60.5, expected a whole number'],
    ['overrides:\n  - { learningRuns: 30 }\n', 'line 2: overrides[0]: found a mapping, expected a gun, powder or part'],
    [
      'overrides:\n  - { part: pump, learningRuns: 30 }\n',
      'line 2: overrides[0].part: found "pump", expected one of inlet-filter',
    ],
    ['- 1\n', 'found a list of 1, expected a mapping'],
    ['', 'found an empty file'],
  ])('is refused with one line: %#', (text, expected) => {
    expect(message(() => parseSettings(text))).toContain(expected);
  });
});

describe('a file on disk', () => {
  let folder = '';
  beforeAll(() => {
    folder = mkdtempSync(join(tmpdir(), 'driftline-yaml-'));
  });
  afterAll(() => rmSync(folder, { recursive: true }));
  const write = (name: string, content: string | Buffer): string => {
    const file = join(folder, name);
    writeFileSync(file, content);
    return file;
  };

  it('may start with a byte-order mark', async () => {
    expect((await readPlant(write('mark.yaml', `\ufeff${BASE}`))).site.id).toBe('hall-2');
  });

  it.each([
    ['missing', () => join(folder, 'nowhere.yaml'), 'found no such file'],
    ['a directory', () => folder, 'found a directory'],
    ['empty', () => write('empty.yaml', ''), 'found an empty file'],
    ['not UTF-8', () => write('latin1.yaml', Buffer.from([0x61, 0xe4, 0x62])), 'found bytes that are not UTF-8'],
    ['UTF-16', () => write('utf16.yaml', Buffer.from(`\ufeff${BASE}`, 'utf16le')), 'found UTF-16 text'],
    ['too large', () => write('large.yaml', Buffer.alloc(1_048_577, '#')), 'found more than 1048576 bytes'],
  ])('is refused when it is %s', async (_, file, expected) => {
    await expect(readPlant(file())).rejects.toMatchObject({
      code: 'PLANT_INVALID',
      message: expect.stringContaining(expected),
    });
    await expect(readSettings(file())).rejects.toMatchObject({ code: 'SETTINGS_INVALID' });
  });
});
