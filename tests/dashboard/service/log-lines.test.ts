import { expect, test } from 'vitest';
import { LogLines } from '../../../dashboard/service/log-lines.ts';

test('lines that cannot be written are counted and told once, and the log goes on when it can', () => {
  let full = false;
  let written = '';
  const told: string[] = [];
  const lines = new LogLines(
    (text) => {
      if (full) throw new Error('ENOSPC: no space left on device, write');
      written += text;
    },
    (sentence) => told.push(sentence),
  );
  lines.write('one\n');
  full = true;
  lines.write('two\n');
  lines.write('three\n');
  full = false;
  lines.write('four\n');
  lines.write('five\n');
  expect(written).toBe('one\n\n{"level":40,"lines":2,"msg":"log lines lost"}\nfour\nfive\n');
  expect(told).toEqual(['the log cannot be written (ENOSPC: no space left on device, write); its lines are lost']);
});
