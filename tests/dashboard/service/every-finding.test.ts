import { expect, test } from 'vitest';
import type { Finding } from '../../../collector/contract/index.ts';
import { everyFinding } from '../../../dashboard/service/every-finding.ts';

const finding = (gun: string, raised: string, cleared: string | null): Finding => ({
  ...{ gun, cause: 'pump-insert', category: 'maintenance-required', onset: raised, raised, asOf: raised, cleared },
  ...{ candidates: [], excessAir: null, remaining: null, evidence: [] },
});

test('findings that the analysis has let go of are handed out beside those that it shows, each once', () => {
  const old = finding('gun-1', '2025-01-01T00:00:00.000Z', '2025-01-05T00:00:00.000Z');
  const late = finding('gun-1', '2025-05-01T00:00:00.000Z', '2025-05-20T00:00:00.000Z');
  const open = finding('gun-2', '2025-05-28T00:00:00.000Z', null);
  // Withdrawn on the way through a backlog: the store has it still, the analysis does not.
  const gone = finding('gun-2', '2025-05-25T00:00:00.000Z', '2025-05-26T00:00:00.000Z');
  const stored = [open, gone, late, old].map((one) => ({
    finding: one,
    savedAt: 0,
    revisedAt: null,
    withdrawnAt: null,
  }));
  const all = everyFinding({ findings: { list: () => stored }, states: { get: () => null } });
  const update = { findings: [late, open], asOf: Date.parse('2025-06-01T00:00:00Z') };
  expect(all(update)).toEqual([old, late, open]);
  expect(all(update)).toBe(all(update));
});

test('findings of before the runs that are left are handed out as well, however short ago they ended', () => {
  const from = Date.parse('2025-05-26T00:00:00Z');
  const ended = finding('gun-2', '2025-05-25T00:00:00.000Z', '2025-05-26T00:00:00.000Z');
  const all = everyFinding({
    findings: { list: () => [{ finding: ended, savedAt: 0, revisedAt: null, withdrawnAt: null }] },
    states: { get: (key) => (key === 'retention/runs-from' ? Buffer.from(String(from)) : null) },
  });
  expect(all({ findings: [], asOf: Date.parse('2025-06-01T00:00:00Z') })).toEqual([ended]);
});
