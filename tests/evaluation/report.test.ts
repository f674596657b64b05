import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { evaluate } from '../../evaluation/evaluate.ts';
import { progressBar } from '../../evaluation/progress-bar.ts';

const folder = mkdtempSync(join(tmpdir(), 'driftline-evaluation-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function sink() {
  let text = '';
  return {
    write: (more: string) => {
      text += more;
    },
    text: () => text,
  };
}

describe('driftline evaluate', () => {
  it('tells the measures of a hall as text and as a page with figures', async () => {
    const [stdout, stderr, html] = [sink(), sink(), join(folder, 'report.html')];
    await evaluate({ scenarios: ['fluidizing'], seeds: [1], threads: 1, html, stdout, stderr, now: () => 0 });
    expect(stdout.text()).toContain('False findings against a part');
    expect(stdout.text()).toContain('What was there (rows) and how it was first found (columns):');
    expect(stderr.text()).toContain('1 of 1');
    const page = readFileSync(html, 'utf8');
    expect(page).toMatch(/^<!doctype html>/);
    expect(page.match(/<svg /g)).toHaveLength(4);
    expect(page).not.toMatch(/NaN|undefined|<script|https?:/);
  }, 120_000);

  it('refuses a report that it could not write before it simulates anything', async () => {
    const [stdout, stderr, html] = [sink(), sink(), join(folder, 'missing', 'report.html')];
    await expect(evaluate({ seeds: [1], threads: 1, html, stdout, stderr, now: () => 0 })).rejects.toMatchObject({
      code: 'USAGE',
    });
    expect(stderr.text()).toBe('');
  });

  it('refuses a scenario that it does not know', async () => {
    const [stdout, stderr] = [sink(), sink()];
    await expect(
      evaluate({ scenarios: ['nowhere'], seeds: [1], threads: 1, stdout, stderr, now: () => 0 }),
    ).rejects.toMatchObject({ code: 'USAGE' });
  });
});

describe('progress bar', () => {
  it.each([
    [0, 48, 0, '[------------------------------] 0 of 48'],
    [12, 48, 60_000, '[########----------------------] 12 of 48, about 3 min left'],
    [47, 48, 47_000, '[#############################-] 47 of 48, about 1 s left'],
    [48, 48, 60_000, '[##############################] 48 of 48'],
  ])('shows %d of %d', (done, all, elapsed, bar) => {
    expect(progressBar(done, all, elapsed)).toBe(bar);
  });
});
