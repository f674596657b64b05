import { describe, expect, test } from 'vitest';
import { Settings } from '../../../collector/contract/index.ts';
import { differences, fieldsOf, merged, typedValue } from '../../../dashboard/web/settings/settings-model.ts';
import { settingsFrom, typedFrom } from '../../../dashboard/web/settings/typed-settings.ts';

const base = Settings.parse({ overrides: [{ gun: 'gun-01', changeLimitExcessAir: 0.15 }] });
const site = {
  guns: [{ id: 'gun-01', name: 'Booth 1 left' }],
  powders: [{ id: 'p-white-07', name: 'White polyester fine' }],
};

describe('changes of two people in one', () => {
  test('are mine where I changed something, else theirs', () => {
    const mine = { ...base, smallestChange: 0.03 };
    const theirs = { ...base, falseAlarmsPerGunYear: 1, smallestChange: 0.1 };
    expect(merged(base, mine, theirs)).toEqual({ ...base, smallestChange: 0.03, falseAlarmsPerGunYear: 1 });
    expect(merged(base, base, theirs)).toEqual(theirs);
    expect(merged(base, mine, base)).toEqual(mine);
  });

  test('take other values of a gun as one thing: added, changed and taken out by either', () => {
    const mine = { ...base, overrides: [...base.overrides, { gun: 'gun-02', learningRuns: 100 }] };
    const theirs = { ...base, overrides: [{ part: 'pump-seals' as const, leadTimeShifts: 1 }] };
    expect(merged(base, mine, theirs).overrides).toEqual([...theirs.overrides, ...mine.overrides.slice(1)]);
    const changed = { ...base, overrides: [{ gun: 'gun-01', changeLimitExcessAir: 0.3 }] };
    expect(merged(base, changed, theirs).overrides).toContainEqual(changed.overrides[0]);
  });
});

test('what changed is told with the names of guns and parts, in the units of the form', () => {
  const to = {
    ...base,
    smallestChange: 0.03,
    overrides: [{ gun: 'gun-01', part: 'pump-seals' as const, changeLimitExcessAir: 0.2 }],
  };
  expect(differences(base, to, site)).toEqual([
    'Smallest change worth a visit: 5 → 3 % of air',
    'no longer for Booth 1 left: excess air at which a part must go 15 %',
    'for Booth 1 left, pump seals: excess air at which a part must go 20 %',
  ]);
});

describe('powders in other values', () => {
  const fields = fieldsOf({ properties: { smallestChange: { minimum: 0, maximum: 1 } } });
  const named = Settings.parse({ overrides: [{ powder: 'p-white-07', smallestChange: 0.04 }] });

  test('are told by the name in the plant file', () => {
    expect(differences(base, named, site)).toContain(
      'for White polyester fine: smallest change worth a visit 4 % of air',
    );
    expect(typedFrom(named, fields, site).overrides[0]!.powder).toBe('White polyester fine');
  });

  test.each([
    ['White polyester fine', 'p-white-07'],
    ['p-white-07', 'p-white-07'],
    [' p-to-come ', 'p-to-come'],
  ])('may be typed as %s', (text, powder) => {
    const typed = { values: {}, overrides: [{ gun: '', powder: text, part: '', values: { smallestChange: '4' } }] };
    expect(settingsFrom(typed, fields, typedValue, site).settings.overrides).toEqual([
      { powder, smallestChange: 0.04 },
    ]);
  });
});
