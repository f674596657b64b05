import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { evaluate } from '../../evaluation/evaluate.ts';
import { progressBar } from '../../evaluation/progress-bar.ts';
import { textSink } from './text-sink.ts';

describe('driftline evaluate', () => {
  it('refuses a report that it could not write before it simulates anything', async () => {
    const [stdout, stderr] = [textSink(), textSink()];
    const html = join(tmpdir(), 'no-such-folder-of-driftline', 'report.html');
    await expect(evaluate({ seeds: [1], threads: 1, html, stdout, stderr, now: () => 0 })).rejects.toMatchObject({
      code: 'USAGE',
    });
    expect(stderr.text()).toBe('');
  });

  it('refuses a scenario that it does not know', async () => {
    const [stdout, stderr] = [textSink(), textSink()];
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
