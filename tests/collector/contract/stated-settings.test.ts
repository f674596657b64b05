import { describe, expect, test } from 'vitest';
import { contradictions, Settings, StatedSettings } from '../../../collector/contract/index.ts';

const paths = (stated: unknown): string[] => contradictions(Settings.parse(stated)).map(({ path }) => path.join('.'));

describe('settings contradict themselves', () => {
  test('where a change is worth a visit only beyond the limit at which the part has to go', () => {
    expect(paths({ smallestChange: 0.1, changeLimitExcessAir: 0.1 })).toEqual([]);
    expect(paths({ smallestChange: 0.11, changeLimitExcessAir: 0.1 })).toEqual(['smallestChange']);
    expect(paths({ overrides: [{ gun: 'gun-01', changeLimitExcessAir: 0.04 }] })).toEqual([
      'overrides.0.changeLimitExcessAir',
    ]);
    expect(paths({ overrides: [{ gun: 'gun-01', changeLimitExcessAir: 0.04, smallestChange: 0.04 }] })).toEqual([]);
    // A part's own value meets a gun's only where an entry names both.
    expect(
      paths({
        overrides: [
          { gun: 'gun-01', changeLimitExcessAir: 0.1 },
          { gun: 'gun-01', part: 'pump-seals', smallestChange: 0.12 },
        ],
      }),
    ).toEqual(['overrides.1.smallestChange']);
  });

  test('where the same gun, powder and part has two values of one setting', () => {
    const twice = [
      { gun: 'gun-01', smallestChange: 0.06 },
      { gun: 'gun-01', smallestChange: 0.07 },
    ];
    expect(contradictions(Settings.parse({ overrides: twice }))).toEqual([
      { path: ['overrides', 1, 'smallestChange'], kind: 'twice', value: 0.07, row: 0, other: 0.06 },
    ]);
    expect(paths({ overrides: [twice[0], { gun: 'gun-01', learningRuns: 80 }] })).toEqual([]);
    expect(paths({ overrides: [twice[0], { ...twice[1], part: 'pump-insert' }] })).toEqual([]);
  });
});

test('stated settings are refused where they contradict themselves, each place once', () => {
  const { error } = StatedSettings.safeParse({ smallestChange: 0.3, overrides: [{ gun: 'gun-01', learningRuns: 80 }] });
  expect(error?.issues.map(({ path, message }) => [path, message])).toEqual([
    [
      ['smallestChange'],
      expect.stringMatching(/^expected no more than the changeLimitExcessAir of 0\.2: a part would/),
    ],
  ]);
  expect(StatedSettings.parse({})).toEqual(Settings.parse({}));
});
