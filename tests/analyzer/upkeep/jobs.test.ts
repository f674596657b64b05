import { describe, expect, test } from 'vitest';
import { JobRecord, jobId, type LoopJob } from '../../../analyzer/upkeep/loop-job.ts';
import { makeLoop } from '../../../analyzer/upkeep/make-loop.ts';
import { DAY, entry, finding, HOUR, NOW, records, sprayedDays } from './hall-of-one.ts';

const RAISED = NOW - 7 * DAY;
const usage = () => sprayedDays(40);
const jobsOf = (changes: Parameters<typeof records>[0]): LoopJob[] =>
  [...makeLoop(records({ usage, ...changes })).jobs].filter(({ source }) => source === 'finding');
const jobOf = (changes: Parameters<typeof records>[0]): LoopJob => jobsOf(changes)[0]!;
const recorded = (record: Partial<JobRecord>) => () => ({ version: 1, record: { ...JobRecord.parse({}), ...record } });
const seals = (at: number, action: 'replaced' | 'refitted' = 'replaced') => entry(at, { part: 'pump-seals', action });
const cleared = (at: number) => ({ cleared: new Date(at).toISOString() });

describe('a job', () => {
  test('is open until somebody plans it', () => {
    expect(jobOf({ findings: [finding(RAISED)] })).toMatchObject({ state: 'open', alert: 'unacknowledged' });
    const planned = { for: NOW + DAY, at: NOW - HOUR, who: 'Ada', note: '' };
    expect(jobOf({ findings: [finding(RAISED)], record: recorded({ planned }) })).toMatchObject({
      state: 'planned',
      alert: 'acknowledged',
      stop: { kind: 'chosen', at: NOW + DAY },
    });
  });

  test('is done once the part was changed, and not cured until the gun has sprayed enough', () => {
    const job = jobOf({ findings: [finding(RAISED)], log: [seals(NOW - 2 * HOUR)] });
    expect(job).toMatchObject({ state: 'done', reopened: false });
    expect(job.attempts[0]).toMatchObject({ outcome: 'watching', sprayHoursSince: 1 });
  });

  test('is proven when the signal came back after the change', () => {
    const job = jobOf({ findings: [finding(RAISED, cleared(NOW - DAY))], log: [seals(NOW - 3 * DAY)] });
    expect(job).toMatchObject({ state: 'proven', attempts: [{ outcome: 'cured' }] });
  });

  test('has gone by itself when nobody did anything', () => {
    expect(jobOf({ findings: [finding(RAISED, cleared(NOW - 3 * DAY))] }).state).toBe('gone');
  });

  test('is open again with the next candidate when the change did not cure', () => {
    const job = jobOf({
      findings: [finding(RAISED)],
      log: [seals(NOW - 4 * DAY)],
      record: recorded({ acknowledged: { at: NOW - 5 * DAY, who: 'Ada' } }),
    });
    expect(job).toMatchObject({
      state: 'open',
      reopened: true,
      part: 'gun-seals',
      attempts: [{ part: 'pump-seals', outcome: 'not-cured' }],
      reason: 'not cured by work on the pump seals; output for the same air fell by 9 % at once',
      // Seen before the change; what is new since has to be seen again.
      alert: 'unacknowledged',
    });
  });

  test('remembers a change in vain though the analysis has ruled the part out since', () => {
    const candidates = [{ cause: 'pump-seals', probability: 0.99 }];
    const log = [entry(NOW - 4 * DAY, { part: 'gun-seals' })];
    expect(jobOf({ findings: [finding(RAISED, { candidates })], log })).toMatchObject({
      state: 'open',
      reopened: true,
      part: 'pump-seals',
      attempts: [{ part: 'gun-seals', outcome: 'not-cured' }],
    });
  });

  test('is the same job when the evidence speaks for another part since a change in vain', () => {
    const moved = NOW - 3 * DAY;
    const first = finding(RAISED, {
      ...{ cause: 'gun-seals', candidates: [{ cause: 'gun-seals', probability: 0.5 }] },
      ...cleared(moved),
    });
    const second = finding(moved, { candidates: [{ cause: 'pump-seals', probability: 0.99 }] });
    const changed = entry(moved - 2 * HOUR, { part: 'gun-seals' });
    const seen = { acknowledged: { at: moved - HOUR, who: 'Ada' } };
    const jobs = jobsOf({ findings: [first, second], log: [changed], record: recorded(seen) });
    expect(jobs).toHaveLength(1);
    expect(jobs[0]).toMatchObject({
      id: jobId('gun-01', 'gun-seals', RAISED),
      ...{ state: 'open', reopened: true, part: 'pump-seals', raised: RAISED, alert: 'unacknowledged' },
      attempts: [{ part: 'gun-seals', outcome: 'not-cured' }],
      finding: { cause: 'pump-seals', raised: second.raised },
    });
    const cured = [first, { ...second, ...cleared(NOW - HOUR) }];
    expect(jobOf({ findings: cured, log: [changed, seals(NOW - DAY)] })).toMatchObject({
      state: 'proven',
      attempts: [{ outcome: 'not-cured' }, { part: 'pump-seals', outcome: 'cured' }],
    });
    expect(jobOf({ findings: cured, log: [changed] }).state).toBe('gone');
  });

  test('is another job where the evidence for the second part came later than that for the first went', () => {
    const first = finding(RAISED, { cause: 'gun-seals', ...cleared(NOW - 3 * DAY) });
    expect(jobsOf({ findings: [first, finding(NOW - 2 * DAY)] })).toHaveLength(2);
  });

  test('that was acknowledged while the change was watched has to be seen again when it did not cure', () => {
    const record = recorded({ acknowledged: { at: NOW - 4 * DAY + HOUR, who: 'Ada' } });
    const log = [seals(NOW - 4 * DAY)];
    expect(jobOf({ findings: [finding(RAISED)], log, record })).toMatchObject({
      ...{ state: 'open', reopened: true, alert: 'unacknowledged' },
    });
  });

  test('takes a refit at a colour change for no attempt where seals are hardly suspected', () => {
    const candidates = [
      { cause: 'pump-insert', probability: 0.9 },
      { cause: 'pump-seals', probability: 0.06 },
    ];
    const wear = finding(RAISED, { cause: 'pump-insert', candidates });
    expect(jobOf({ findings: [wear], log: [seals(NOW - 4 * DAY, 'refitted')] }).attempts).toEqual([]);
    expect(jobOf({ findings: [wear], log: [seals(NOW - 4 * DAY)] }).attempts).toHaveLength(1);
  });

  test('whose finding flickers stays one job; one that comes back days later is another', () => {
    const first = finding(RAISED, cleared(RAISED + HOUR));
    expect(jobsOf({ findings: [first, finding(RAISED + 20 * HOUR)] })).toHaveLength(1);
    expect(jobsOf({ findings: [first, finding(RAISED + 3 * DAY)] })).toHaveLength(2);
  });

  test('is not told for a doubt about data that passes within minutes', () => {
    const doubt = finding(NOW - 5 * 60_000, { cause: 'no-data', category: 'function-check', candidates: [] });
    expect(jobsOf({ findings: [doubt] })).toEqual([]);
    expect(jobsOf({ findings: [doubt], now: NOW + 6 * 60_000 })).toHaveLength(1);
  });
});

describe('a check by hand', () => {
  const look = (part: string, found: 'good' | 'worn') =>
    entry(RAISED + HOUR, { part, action: 'inspected', found, measured: null });

  test('is asked for first where two causes are close, and says what it separates', () => {
    const job = jobOf({ findings: [finding(RAISED)] });
    expect(job.separates).toEqual(['pump-seals', 'gun-seals']);
    // The hose pull is the surer of the two checks.
    expect(job.benchCheck?.part).toBe('gun-seals');
  });

  test('moves the diagnosis at once', () => {
    expect(jobOf({ findings: [finding(RAISED)], log: [look('pump-seals', 'good')] }).part).toBe('gun-seals');
    const worn = jobOf({ findings: [finding(RAISED)], log: [look('gun-seals', 'worn')] });
    expect(worn.part).toBe('gun-seals');
    expect(worn.probability).toBeGreaterThan(0.85);
  });

  test('counts once: what the analysis has seen is in its candidates already', () => {
    const asOf = new Date(NOW).toISOString();
    const job = jobOf({ findings: [finding(RAISED, { asOf })], log: [look('pump-seals', 'good')] });
    expect(job.candidates).toEqual(finding(RAISED).candidates);
    expect(job.checks).toHaveLength(1);
  });
});

describe('an alert', () => {
  const findings = [finding(RAISED)];

  test('is on the shelf until its end, then asks to be seen again', () => {
    const shelved = { until: NOW + HOUR, reason: 'waits for seals', at: NOW - HOUR, who: 'Ada' };
    const record = recorded({ shelved, acknowledged: { at: NOW - 2 * HOUR, who: 'Ada' } });
    expect(jobOf({ findings, record })).toMatchObject({ alert: 'shelved', shelved });
    expect(jobOf({ findings, record, now: NOW + 2 * HOUR })).toMatchObject({ alert: 'unacknowledged', shelved: null });
  });

  test('of a gun out of service is suppressed by design, until the gun sprays again', () => {
    const out = (from: number) => () => ({ from, until: null, reason: 'being moved' });
    expect(jobOf({ findings, outOfService: out(NOW - 10 * 60_000) }).alert).toBe('suppressed-by-design');
    expect(jobOf({ findings, outOfService: out(NOW - 5 * DAY) }).alert).toBe('unacknowledged');
  });

  test('that came back to normal unseen is told until somebody has seen it', () => {
    const back = [finding(RAISED, cleared(NOW - 3 * DAY))];
    expect(jobOf({ findings: back }).alert).toBe('returned-unacknowledged');
    const record = recorded({ acknowledged: { at: NOW - HOUR, who: 'Ada' } });
    expect(jobOf({ findings: back, record }).alert).toBe('normal');
    // Who worked on it has seen it.
    expect(jobOf({ findings: back, log: [seals(NOW - 4 * DAY)] }).alert).toBe('normal');
  });
});

describe('stops', () => {
  const both = [
    finding(RAISED),
    finding(RAISED, { cause: 'conveying-filter', candidates: [{ cause: 'conveying-filter', probability: 0.8 }] }),
  ];

  test('one stop of a gun does all that is near, at the next shift end', () => {
    const [first, second] = jobsOf({ findings: both, log: [entry(RAISED - DAY)] });
    // Noon in Vienna on a Monday: the day shift ends at 14:00.
    expect(first!.stop).toMatchObject({ kind: 'shift-end', at: Date.parse('2026-03-09T13:00:00Z') });
    expect(first!.together).toEqual([second!.id]);
    expect(second!.stop).toEqual(first!.stop);
  });

  test('a failure is for now', () => {
    const failed = finding(NOW - HOUR, { cause: 'no-air', category: 'failure', candidates: [] });
    expect(jobOf({ findings: [failed] }).stop).toMatchObject({ kind: 'at-once' });
  });
});

describe('work of the plan', () => {
  const log = [entry(NOW - 60 * DAY)];
  const due = (changes: Parameters<typeof records>[0]) =>
    makeLoop(records({ usage: () => sprayedDays(90), ...changes })).jobs.filter(
      ({ gun, part }) => gun === 'gun-01' && part === 'pump-insert',
    );

  test('becomes a job when it is near, and is done by what the log says', () => {
    expect(due({ log })[0]).toMatchObject({
      source: 'plan',
      state: 'open',
      id: jobId('gun-01', 'pump-insert', log[0]!.time),
    });
    const changed = due({ log: [...log, entry(NOW - 5 * DAY)] });
    const round = changed.find(({ id }) => id === jobId('gun-01', 'pump-insert', log[0]!.time));
    expect(round).toMatchObject({ source: 'plan', state: 'proven' });
  });

  test('is proven by a check at once, and by a change when the gun has sprayed since', () => {
    const log = [entry(NOW - 364 * DAY, { part: 'powder-hose' })];
    const hose = (more: Partial<Parameters<typeof entry>[1]>) =>
      makeLoop(
        records({ usage: () => sprayedDays(1), log: [...log, entry(NOW - HOUR, { part: 'powder-hose', ...more })] }),
      ).jobs.find(({ part, gun }) => part === 'powder-hose' && gun === 'gun-01');
    expect(hose({ action: 'inspected', found: 'good' })).toMatchObject({ state: 'proven' });
    expect(hose({ action: 'replaced' })).toMatchObject({ state: 'done', attempts: [{ outcome: 'watching' }] });
  });

  test('is no second job where a finding is about the part already', () => {
    const wear = finding(RAISED, { cause: 'pump-insert', candidates: [{ cause: 'pump-insert', probability: 0.9 }] });
    const jobs = due({ log, findings: [wear] });
    expect(jobs.filter(({ state }) => state === 'open').map(({ source }) => source)).toEqual(['finding']);
    expect(jobs[0]!.dueWhy.join(' ')).toContain('by plan: interval 60 spray hours');
  });
});
