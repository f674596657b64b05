import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { fixture } from '../../published/fixture.ts';

interface Palette {
  readonly pairs: readonly { a: string; b: string; ratio: number }[];
  readonly okabe_ito: readonly { name: string; hex: string }[];
}
const palette = fixture<Palette>('F-contrast-palette');
const css = readFileSync(new URL('../../../dashboard/web/styles/base.css', import.meta.url), 'utf8');
const colour = (name: string): string => {
  const found = new RegExp(`--${name}: (#[0-9a-f]{6});`).exec(css)?.[1];
  if (!found) throw new Error(`no colour --${name} in base.css`);
  return found;
};

/** Relative luminance and contrast ratio. Source: WCAG 2.2, definitions. */
function luminance(hex: string): number {
  const [r, g, b] = [1, 3, 5].map((at) => {
    const share = Number.parseInt(hex.slice(at, at + 2), 16) / 255;
    return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
  }) as [number, number, number];
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}
function contrast(a: string, b: string): number {
  const [light, dark] = [luminance(a), luminance(b)].sort((x, y) => y - x) as [number, number];
  return (light + 0.05) / (dark + 0.05);
}

test.each(palette.pairs)('contrast of $a on $b is as published', ({ a, b, ratio }) => {
  expect(contrast(a, b)).toBeCloseTo(ratio, 6);
});

test.each([
  ['ink', 'paper'],
  ['ink-soft', 'paper'],
  ['ink', 'sheet'],
  ['ink-soft', 'sheet'],
])('text in %s on %s has 4.5 : 1 at least (WCAG 1.4.3)', (text, ground) => {
  expect(contrast(colour(text), colour(ground))).toBeGreaterThanOrEqual(4.5);
});

test.each([
  ['edge', 'paper'],
  ['edge', 'sheet'],
  ['ink-soft', 'paper'],
  ['maintain', 'paper'],
])('%s on %s, an edge or a shape, has 3 : 1 at least (WCAG 1.4.11)', (edge, ground) => {
  expect(contrast(colour(edge), colour(ground))).toBeGreaterThanOrEqual(3);
});

test.each([
  ['failure', '#1a1a18'],
  ['check', '#1a1a18'],
  ['out', '#1a1a18'],
  ['maintain', '#ffffff'],
])('the letter in the shape of %s has 4.5 : 1 at least', (state, letter) => {
  expect(contrast(colour(state), letter)).toBeGreaterThanOrEqual(4.5);
});

test('states have colours of Okabe and Ito’s palette, each its own', () => {
  const known = palette.okabe_ito.map(({ hex }) => hex.toLowerCase());
  const used = ['failure', 'check', 'out', 'maintain'].map(colour);
  expect(new Set(used).size).toBe(4);
  for (const hex of used) expect(known).toContain(hex);
});
