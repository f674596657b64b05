import { describe, expect, it } from 'vitest';
import { BENCH_CHECKS } from '../../../analyzer/advise/bench-checks.ts';
import { makeJobs } from '../../../analyzer/advise/make-jobs.ts';
import { PART_IDS, type PartId } from '../../../collector/contract/index.ts';
import { openFinding, PLANT } from './open-finding.ts';

/** Parts of which the air shows nothing reliable: they are kept by hours and inspection. Source: handbook table of parts. */
const NOT_IN_THE_AIR = ['electrode-holder', 'nozzle'];
const IN_THE_AIR = PART_IDS.filter((part) => !NOT_IN_THE_AIR.includes(part));

const checkFor = (...candidates: [string, number][]) =>
  makeJobs(
    PLANT,
    [
      openFinding(candidates[0]![0], {
        candidates: candidates.map(([cause, probability]) => ({ cause, probability })),
      }),
    ],
    [],
  )[0]!.benchCheck;

describe('bench checks', () => {
  it.each(IN_THE_AIR)('tell how a %s is checked by hand and how to judge what is seen', (part) => {
    const check = BENCH_CHECKS[part];
    expect(check.part).toBe(part);
    expect(check.title).not.toBe('');
    expect(check.steps.length).toBeGreaterThan(0);
    for (const step of check.steps) expect(step).toMatch(/\.$/);
  });

  // Source: handbook table of parts, column 'by hand'.
  it.each<[PartId, RegExp]>([
    ['pump-insert', /gauge.*25 mm.*shoulder/],
    ['pump-seals', /look.*listen.*feel/i],
    ['gun-seals', /release collar.*comes out/i],
    ['conveying-filter', /disconnect.*blow/i],
    ['supplementary-filter', /disconnect.*blow/i],
    ['fluidizing-ring', /even.*geysers/i],
    ['inlet-filter', /discoloured/i],
    ['powder-hose', /bend/i],
    ['gun-tube', /look through/i],
    ['electrode-holder', /splitter/],
    ['nozzle', /pattern.*opening/i],
  ])('check a %s as the trade does', (part, words) => {
    const { title, steps } = BENCH_CHECKS[part];
    expect(`${title} ${steps.join(' ')}`).toMatch(words);
  });

  it('send air that is blown through away from people', () => {
    for (const { steps } of Object.values(BENCH_CHECKS))
      if (/blow/i.test(steps.join(' '))) expect(steps.join(' ')).toMatch(/away from people/);
  });
});

describe('the check that comes first', () => {
  it('is the easier of two where parts compete: to pull at a hose, before a pump is opened', () => {
    expect(checkFor(['pump-seals', 0.5], ['gun-seals', 0.45])!.part).toBe('gun-seals');
    expect(checkFor(['gun-seals', 0.5], ['pump-seals', 0.45])!.part).toBe('gun-seals');
  });

  it('is the part’s where powder or a sensor is likelier than it', () => {
    expect(checkFor(['powder', 0.6], ['pump-seals', 0.3])!.part).toBe('pump-seals');
    expect(checkFor(['sensor:conveying/flow', 0.5], ['conveying-filter', 0.4])!.part).toBe('conveying-filter');
  });

  it('is none where no part is among the causes', () => {
    expect(checkFor(['powder', 0.6], ['supply-air', 0.3])).toBeNull();
  });

  it('tells the two likeliest causes apart: it is always the check of one of them', () => {
    for (const first of IN_THE_AIR)
      for (const second of IN_THE_AIR)
        if (first !== second) expect([first, second]).toContain(checkFor([first, 0.5], [second, 0.4])!.part);
  });
});
