import { quoted } from '../contract/index.ts';

/** Labels of RFC 8428 section 4.3 (JSON), each with its bit in `SenmlRecord.has`. */
export const LABEL = {
  bn: 1,
  bt: 2,
  bu: 4,
  bv: 8,
  bs: 16,
  bver: 32,
  n: 64,
  u: 128,
  v: 256,
  vs: 512,
  vb: 1024,
  vd: 2048,
  s: 4096,
  t: 8192,
  ut: 16_384,
} as const;
export type Label = keyof typeof LABEL;

/** One SenML record as it came, its labels' types checked; fields without their bit in `has` are left over from before. */
export class SenmlRecord {
  has = 0;
  bn = '';
  bt = 0;
  bu = '';
  bv = 0;
  bs = 0;
  bver = 0;
  n = '';
  u = '';
  v = 0;
  vs = '';
  vb = false;
  vd = '';
  s = 0;
  t = 0;
  ut = 0;
}

const TYPES: Readonly<Record<Label, 'string' | 'number' | 'boolean'>> = {
  bn: 'string',
  bt: 'number',
  bu: 'string',
  bv: 'number',
  bs: 'number',
  bver: 'number',
  n: 'string',
  u: 'string',
  v: 'number',
  vs: 'string',
  vb: 'boolean',
  vd: 'string',
  s: 'number',
  t: 'number',
  ut: 'number',
};

/**
 * Fills a record from a parsed JSON value.
 *
 * Labels that are unknown are ignored, unless they end in "_" (RFC 8428 section 4.4).
 *
 * @returns null, or what was found and expected
 */
export function fillRecord(record: SenmlRecord, value: unknown): string | null {
  if (typeof value !== 'object' || value === null || Array.isArray(value)) {
    return `found ${quoted(value)}, expected a JSON object`;
  }
  record.has = 0;
  const target = record as unknown as Record<string, unknown>;
  for (const [key, content] of Object.entries(value)) {
    if (!Object.hasOwn(LABEL, key)) {
      if (key.endsWith('_'))
        return `found the label ${quoted(key)}, which must be understood; expected none of that kind`;
      continue;
    }
    const label = key as Label;
    if (typeof content !== TYPES[label]) return `"${label}": found ${quoted(content)}, expected a ${TYPES[label]}`;
    target[label] = content;
    record.has |= LABEL[label];
  }
  return null;
}
