import type { Locator, Page } from 'playwright-core';
import { expect, test } from 'vitest';
import type { GunView } from '../../analyzer/index.ts';
import { silentSince } from '../../dashboard/web/wall/silent-since.ts';
import { FILTER_JOB, INSERT_JOB, SEAL_JOB } from '../dashboard/hall-guns.ts';
import { fixture } from '../published/fixture.ts';
import { SOON, screensOfHall } from './screens.ts';

const show = screensOfHall();

interface Heights {
  readonly heights_mm: readonly { distance_m: number; arcmin: number; height_mm: number }[];
}
/** Height of a character seen at 20 arcmin from 5 m, mm. Source: ISO 9241-3 as quoted, h = 2 d tan(a/2). */
const NEEDED_MM = fixture<Heights>('F-character-height').heights_mm.find((h) => h.distance_m === 5 && h.arcmin === 20)
  ?.height_mm as number;
/** Pixel pitch of a 55 inch screen of 1920 × 1080. */
const PITCH_MM = (55 * 25.4) / Math.hypot(1920, 1080);
const NEEDED_PX = NEEDED_MM / PITCH_MM;

const FULL = {
  jobs: [
    INSERT_JOB,
    SEAL_JOB,
    FILTER_JOB,
    { ...INSERT_JOB, gun: 'gun-03', category: 'failure' as const, byShifts: null },
    {
      ...SEAL_JOB,
      gun: 'gun-06',
      part: 'supplementary-filter',
      category: 'function-check' as const,
      byShifts: 12,
      bySprayHours: { p10: 60, p50: 80, p90: 99 },
      benchCheck: {
        part: 'supplementary-filter',
        title: 'Blow it through',
        steps: ['Blow it through.'],
        judge: { good: '', worn: '', failed: '' },
        measure: null,
      },
    },
  ],
};

/** Used height of the capitals of an element's font, px: a box of that height is put into it and measured. */
function capHeight(target: Locator): Promise<number> {
  return target.evaluate((element) => {
    const probe = document.createElement('span');
    probe.style.cssText = 'display:inline-block;width:1px;height:1cap';
    element.append(probe);
    const { height } = probe.getBoundingClientRect();
    probe.remove();
    return height;
  });
}

test('20 arcmin at 5 m are 46 px on a 55 inch screen', () => {
  expect(NEEDED_PX).toBeGreaterThan(45);
  expect(Math.ceil(NEEDED_PX)).toBe(46);
});

test('all that must be read at 5 m has capitals of 46 px at least', async () => {
  const { page } = await show({ hall: FULL });
  const jobs = page.getByRole('region', { name: /To do next/ });
  await jobs.getByRole('listitem').nth(4).waitFor();
  const must: Record<string, Locator> = {
    'gun of a job': jobs.getByText('B1 left'),
    'part of a job': jobs.getByText('Suppl. filter'),
    'how sure': jobs.getByText(/^86\s%$/).first(),
    'shifts left': jobs.getByText(/^3\sshifts$/),
    'spray hours left': jobs.getByText(/22–61\sh/).first(),
    'check first': jobs.getByText('wear gauge first').first(),
    'name of a gun': page.getByRole('rowheader', { name: /B1 right/ }),
    'wear left': page.getByRole('cell', { name: /^69\s%$/ }),
    'air now against needed': page.getByRole('cell', { name: '3.2/3.0' }).first(),
    'age of data': page.getByRole('cell', { name: /^0\ss$/ }).first(),
    'time of day': page.getByRole('time'),
    'name of the hall': page.getByRole('heading', { level: 1 }),
  };
  for (const [what, target] of Object.entries(must)) expect(await capHeight(target), what).toBeGreaterThanOrEqual(46);
});

test('the letter of each state has capitals of 46 px at least', async () => {
  const { page } = await show({ hall: FULL });
  await page.getByRole('row').nth(8).waitFor();
  const letters = await page.locator('.mark text').evaluateAll((all) =>
    all.map((text) => {
      const svg = (text as SVGTextElement).ownerSVGElement as SVGSVGElement;
      const scale = svg.getBoundingClientRect().width / svg.viewBox.baseVal.width;
      const pen = document.createElement('canvas').getContext('2d') as CanvasRenderingContext2D;
      const { fontWeight, fontSize, fontFamily } = getComputedStyle(text);
      pen.font = `${fontWeight} ${fontSize} ${fontFamily}`;
      return { letter: text.textContent, px: pen.measureText('M').actualBoundingBoxAscent * scale };
    }),
  );
  expect(new Set(letters.map(({ letter }) => letter))).toEqual(new Set(['F', 'C', 'S', 'M']));
  for (const { letter, px } of letters) expect(px, String(letter)).toBeGreaterThanOrEqual(46);
});

test('the pixels agree: the H of the hall’s name is 46 px of ink high', async () => {
  const { page } = await show({ hall: FULL });
  const heading = page.getByRole('heading', { level: 1, name: 'Hall 2' });
  await heading.waitFor();
  await page.evaluate(() => document.fonts.ready);
  const clip = await heading.evaluate((element) => {
    const range = document.createRange();
    range.setStart(element.firstChild as Node, 0);
    range.setEnd(element.firstChild as Node, 1);
    const { x, y, width, height } = range.getBoundingClientRect();
    return { x, y: y - 10, width, height: height + 10 };
  });
  expect(await inkHeight(page, (await page.screenshot({ clip })).toString('base64'))).toBeGreaterThanOrEqual(46);
});

/** Rows of a picture that hold dark pixels, counted on a page without a policy of its own. */
async function inkHeight(page: Page, png: string): Promise<number> {
  const blank = await page.context().newPage();
  return blank.evaluate(async (data) => {
    const picture = new Image();
    picture.src = `data:image/png;base64,${data}`;
    await picture.decode();
    const canvas = document.createElement('canvas');
    [canvas.width, canvas.height] = [picture.width, picture.height];
    const pen = canvas.getContext('2d') as CanvasRenderingContext2D;
    pen.drawImage(picture, 0, 0);
    let rows = 0;
    for (let y = 0; y < picture.height; y += 1) {
      const row = pen.getImageData(0, y, picture.width, 1).data;
      let dark = false;
      for (let at = 0; at < row.length; at += 4) if ((row[at] as number) < 128) dark = true;
      if (dark) rows += 1;
    }
    return rows;
  }, png);
}

test.each([
  ['eight guns and five jobs', { ...FULL }],
  ['no job', { jobs: [] }],
  ['figures full of ones', { jobs: [{ ...INSERT_JOB, byShifts: 13, bySprayHours: { p10: 14, p50: 41, p90: 87 } }] }],
  ['a new insert', { views: (view: GunView) => ({ ...view, wearLeft: 1 }) }],
  ['four guns', { names: ['North', 'South', 'East', 'West'] }],
  ['sixteen guns', { names: Array.from({ length: 16 }, (_, i) => `Booth ${i + 1}`) }],
  ['24 guns', { ...FULL, names: Array.from({ length: 24 }, (_, i) => `Booth ${i + 1}`) }],
  [
    'long names',
    {
      ...FULL,
      names: [
        'Reciprocator booth 2, axis 4, upper gun',
        'Reciprocator booth 2, axis 4, lower gun',
        'Manual pre-coat station before booth 2',
        'WWWWWWWWWWWWWWWWWWWWWWWWWWWW',
        'Übergabeplatz Größenlackierung',
        'g',
        'x'.repeat(120),
        'Manual touch-up',
      ],
    },
  ],
  ['US units', { ...FULL, units: 'us' as const }],
])('with %s the wall fits its screen and cuts nothing off that must be read', async (_what, hall) => {
  const { page } = await show({ hall });
  await page.getByRole('row').nth(1).waitFor();
  const { height, cut } = await heightAndCut(page);
  expect(cut).toEqual([]);
  expect(height).toBe(1080);
});

test('the interval of spray hours stands there where it fits, to the last pixel, and else the middle alone', async () => {
  for (const [byShifts, bySprayHours, told] of [
    [0.4, { p10: 0.2, p50: 0.7, p90: 14 }, '0–14 h'],
    [13, { p10: 14, p50: 41, p90: 87 }, '~41 h'],
  ] as const) {
    const { page } = await show({ hall: { jobs: [{ ...INSERT_JOB, byShifts, bySprayHours }] } });
    const said = page.locator('.job-when');
    await expect.poll(async () => (await said.textContent())?.replace(/\s/g, ' '), SOON).toContain(told);
    expect(await said.textContent()).toContain('wear gauge first');
    expect((await heightAndCut(page)).cut).toEqual([]);
  }
});

test('a silent gun’s row has room for every way of saying since when', async () => {
  const { page, clock } = await show({ hall: FULL });
  const row = page.getByRole('row', { name: /B1 right/ });
  await row.waitFor();
  clock.advance(15_000);
  await expect.poll(async () => row.textContent(), SOON).toContain('silent since');
  const now = Date.parse('2026-11-25T22:12:00Z');
  const ago = ['2026-05-02T12:00Z', '2026-09-30T12:00Z', '2026-11-25T16:00Z', '2026-11-25T00:30Z'].map(Date.parse);
  const words = (['metric', 'us'] as const).flatMap((units) =>
    ago.map((ms) => silentSince(ms, now, { timezone: 'UTC', units })),
  );
  for (const text of words) {
    await row.locator('.gun-words').evaluate((cell, words) => {
      cell.textContent = words;
    }, text);
    expect((await heightAndCut(page)).cut, text).toEqual([]);
  }
});

/** Height of the page, px, and the words of what must be read from afar and does not fit its place. */
async function heightAndCut(
  page: Page,
): Promise<{ readonly height: number; readonly cut: readonly (string | null)[] }> {
  await page.evaluate(() => document.fonts.ready);
  await page.evaluate(() => new Promise(requestAnimationFrame));
  return page.evaluate(() => {
    const far = [...document.querySelectorAll('.far, .far *')].filter((one) => one.getClientRects().length > 0);
    const out = far.filter((one) => {
      const { right, bottom, left, top } = one.getBoundingClientRect();
      return one.scrollWidth > one.clientWidth + 1 && one.clientWidth > 1
        ? true
        : right > 1920 || bottom > 1080 || left < 0 || top < 0;
    });
    return { height: document.documentElement.scrollHeight, cut: out.map((one) => one.textContent) };
  });
}
