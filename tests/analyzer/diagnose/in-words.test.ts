import { describe, expect, it, test } from 'vitest';
import {
  causeInWords,
  channelInWords,
  figureOf,
  percentOf,
  spanInWords,
  wasOrWere,
} from '../../../analyzer/diagnose/in-words.ts';
import { CHANNEL_NAMES, PART_IDS } from '../../../collector/contract/index.ts';

describe('a figure in evidence', () => {
  it('has a true minus, and none before nought', () => {
    expect(figureOf(-0.216, 2)).toBe('−0.22');
    expect(figureOf(-0.001, 2)).toBe('0.00');
    expect(percentOf(-0.032, 1)).toBe('−3.2 %');
    expect(percentOf(0.086)).toBe('9 %');
  });
});

describe('evidence', () => {
  it('calls every channel and part by the trade’s words, not by its id', () => {
    for (const channel of CHANNEL_NAMES) expect(channelInWords(channel)).toMatch(/^[a-z ]+$/);
    for (const part of PART_IDS) expect(causeInWords(part)).toMatch(/^the [a-z ]+$/);
    for (const channel of CHANNEL_NAMES)
      expect(causeInWords(`sensor:${channel}`)).toMatch(/^the sensor of the [a-z ]+$/);
  });
});

test('seals are several', () => {
  expect([wasOrWere('pump-seals'), wasOrWere('pump-insert')]).toEqual(['were', 'was']);
});

test.each([
  [50 * 60_000, '50 minutes'],
  [-119 * 60_000, '119 minutes'],
  [120 * 60_000, '2.0 hours'],
  [47.9 * 3_600_000, '47.9 hours'],
  [-48 * 3_600_000, '2.0 days'],
  [-29_927_469 * 60_000, '56.9 years'],
])('a span of %i ms is told as %s', (ms, words) => {
  expect(spanInWords(ms)).toBe(words);
});
