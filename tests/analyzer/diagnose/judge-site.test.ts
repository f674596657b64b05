import { describe, expect, it } from 'vitest';
import { type GunMemory, newGunMemory } from '../../../analyzer/baseline/gun-memory.ts';
import { bringUpToDate, emptyBook, type FindingBook } from '../../../analyzer/diagnose/finding-book.ts';
import { judgeFacts } from '../../../analyzer/diagnose/judge-site.ts';
import { followSupply, judgeSupply } from '../../../analyzer/diagnose/judge-supply.ts';
import type { StationFact } from '../../../analyzer/index.ts';
import { HoldingFacts } from '../../../analyzer/pipeline-facts.ts';
import { GrowingRuns } from '../../../analyzer/runs/growing-runs.ts';
import { type Finding, Plant } from '../../../collector/contract/index.ts';

const START = Date.UTC(2026, 2, 2, 6);
const MINUTE = 60_000;

/** What the facts of a gun say at a time, minutes after the start; `before` are the minutes at which they were looked at before. */
function factsAt(
  minute: number,
  facts: readonly StationFact[],
  before: readonly number[] = [],
  guns: Record<string, GunMemory> = {},
): FindingBook {
  const book = emptyBook();
  const plant = Plant.parse({ site: { id: 'hall-2', timezone: 'Europe/Vienna' }, guns: [{ id: 'gun-01' }] });
  const told: Finding[] = [];
  const track = {
    station: 'gun-01',
    runs: new GrowingRuns('gun-01').table(),
    facts,
    firstTime: START,
    lastTime: START,
  };
  for (const at of [...before, minute])
    judgeFacts(
      { plant, guns, book, now: START + at * MINUTE, told },
      'gun-01',
      new HoldingFacts(track).at(START + at * MINUTE),
      0,
    );
  return book;
}

const silence = (until: number | null): StationFact => ({
  kind: 'silence',
  station: 'gun-01',
  time: START,
  until: until === null ? null : START + until * MINUTE,
});

describe('a silent station', () => {
  it.each([
    [29, 0],
    [30, 1],
    [31, 1],
  ])('has no data once 30 minutes are full: after %i minutes %i findings', (minute, count) => {
    expect(factsAt(minute, [silence(null)]).open).toHaveLength(count);
  });

  it('is a function check that began with its last reading', () => {
    const [finding] = factsAt(30, [silence(null)]).open;
    expect(finding).toMatchObject({ gun: 'gun-01', cause: 'no-data', category: 'function-check', onset: START });
  });

  it.each([
    [89, 0],
    [90, 1],
  ])('is over with its next reading at minute 90: at minute %i %i are cleared', (minute, count) => {
    expect(factsAt(minute, [silence(90)], [30]).closed).toHaveLength(count);
  });

  it.each<StationFact>([
    { kind: 'clock', station: 'gun-01', time: START, offsetMs: null, detail: 'times of 1970' },
    { kind: 'range', station: 'gun-01', channel: 'conveying/flow', time: START, count: 9 },
  ])('does not end what its last readings told of: $kind', (fact) => {
    const told = (until: number | null): string[] =>
      factsAt(80 * 60, [fact, silence(until)], [30]).open.map(({ subject }) => subject.split(':')[0]!);
    expect(told(null).sort()).toEqual([fact.kind, 'silence'].sort());
    expect(told(50)).toEqual([]);
  });

  it.each([
    [-40, 84, 0],
    [-40, 85, 1],
    [40, 29, 1],
  ])(
    'whose clock is known to be off by %i minutes ends its day by that sooner: while others spray for %i minutes more %i findings',
    (off, minutes, count) => {
      const clock: StationFact = {
        kind: 'clock',
        station: 'gun-01',
        time: START - 600 * MINUTE,
        offsetMs: off * MINUTE,
        detail: 'the working day of this gun begins and ends 40 minutes before that of the others',
      };
      const other = newGunMemory('gun-02', 'value');
      other.lastEnd = START + minutes * MINUTE;
      const { open } = factsAt(200, [clock, silence(null)], [], { 'gun-02': other });
      expect(open.filter(({ cause }) => cause === 'no-data')).toHaveLength(count);
    },
  );

  it('is not told of where only guns with wrong clocks spray on', () => {
    const lastEnd = START + 40 * MINUTE;
    const told = (spraying: readonly string[], off: readonly string[]): number => {
      const guns = Object.fromEntries(spraying.map((id) => [id, { ...newGunMemory(id, 'value'), lastEnd }]));
      const book = emptyBook();
      const plant = Plant.parse({ site: { id: 'hall-2', timezone: 'Europe/Vienna' }, guns: [{ id: 'gun-01' }] });
      const bench = { plant, guns, book, now: START + 45 * MINUTE, told: null };
      for (const station of off)
        judgeFacts(bench, station, [{ kind: 'clock', station, time: START, offsetMs: 180 * MINUTE, detail: 'off' }], 0);
      judgeFacts(bench, 'gun-01', [silence(null)], 0);
      return book.open.filter(({ subject }) => subject === 'silence').length;
    };
    expect(told(['gun-02'], ['gun-02'])).toBe(0);
    expect(told(['gun-02', 'gun-03'], ['gun-02'])).toBe(1);
    expect(told(['gun-02'], [])).toBe(1);
    expect(told([], ['gun-02'])).toBe(1);
  });

  it('raises nothing where it spoke again before the judge came', () => {
    const { open, closed } = factsAt(91, [silence(90)]);
    expect([open, closed]).toEqual([[], []]);
  });
});

describe('a trouble that comes and goes', () => {
  /** Stuck for ten minutes, every so many minutes. */
  const stuckEvery = (minutes: number, times: number): StationFact[] =>
    Array.from({ length: times }, (_, nth) => ({
      kind: 'stuck',
      station: 'gun-01',
      channel: 'trigger',
      time: START + nth * minutes * MINUTE,
      noticed: START + nth * minutes * MINUTE,
      until: START + (nth * minutes + 10) * MINUTE,
    }));
  const everyFive = (to: number): number[] => Array.from({ length: to / 5 }, (_, nth) => nth * 5);

  it('is told twice on one day at the most, not once for each time', () => {
    const { open, closed } = factsAt(700, stuckEvery(30, 20), everyFive(700));
    expect([open.length, closed.length]).toEqual([1, 1]);
  });

  it('is over when it has been away for a night and more', () => {
    const last = 30 * 19 + 10;
    expect(factsAt(last + 19 * 60, stuckEvery(30, 20), everyFive(last)).open).toHaveLength(1);
    expect(factsAt(last + 20 * 60, stuckEvery(30, 20), everyFive(last)).open).toHaveLength(0);
  });

  it('is told anew where it comes every other day', () => {
    const { open, closed } = factsAt(3 * 2880 + 20, stuckEvery(2880, 4), everyFive(3 * 2880 + 20));
    expect([open.length, closed.length]).toEqual([0, 4]);
  });
});

describe('values that no sensor can measure', () => {
  it.each([
    [4, 0],
    [5, 1],
    [6, 1],
  ])('%i within an hour raise %i findings', (count, findings) => {
    const fact: StationFact = { kind: 'range', station: 'gun-01', channel: 'conveying/flow', time: START, count };
    const { open } = factsAt(0, [fact]);
    expect(open).toHaveLength(findings);
    for (const finding of open)
      expect(finding).toMatchObject({ cause: 'sensor:conveying/flow', category: 'function-check' });
  });

  it.each([
    [16 * 60, 0],
    [1199, 0],
    [1200, 1],
  ])(
    'are not over with the night, but 20 hours after the last of them: after %i minutes %i are cleared',
    (minute, count) => {
      const fact: StationFact = { kind: 'range', station: 'gun-01', channel: 'conveying/flow', time: START, count: 9 };
      expect(factsAt(minute, [fact], [0]).closed).toHaveLength(count);
    },
  );
});

describe('a trigger without air', () => {
  const fact: StationFact = {
    kind: 'no-air',
    station: 'gun-01',
    time: START,
    noticed: START + 5 * MINUTE,
    until: null,
  };

  it('is a failure: the gun cannot do its job now', () => {
    expect(factsAt(5, [fact]).open[0]).toMatchObject({ gun: 'gun-01', category: 'failure', onset: START });
  });

  it('is not told before it was noticed', () => {
    expect(factsAt(4, [fact]).open).toEqual([]);
  });
});

/** Half a spray hour of inlet pressure, block by block from the start. */
const inletBlock = (supply: number, block: number) => ({
  supply,
  start: START + (block - 1) * 30 * MINUTE,
  end: START + block * 30 * MINUTE,
  minutes: 30,
});

/** Guns of one or two lines that had 6 bar for long, and what each has now. */
function supplyAfter(
  bars: readonly (number | null)[],
  lines: readonly string[] = [],
): { book: FindingBook; again: (bars: readonly number[], minute?: number) => FindingBook } {
  const ids = bars.map((_, place) => `gun-${place + 1}`);
  const plant = Plant.parse({
    site: { id: 'hall-2', timezone: 'Europe/Vienna' },
    guns: ids.map((id, place) => ({ id, ...(lines[place] === undefined ? {} : { supply: lines[place] }) })),
  });
  const guns = Object.fromEntries(ids.map((id) => [id, newGunMemory(id, 'value')]));
  for (const memory of Object.values(guns))
    for (let block = 0; block < 60; block++) followSupply(memory, inletBlock(6, block - 60));
  const book = emptyBook();
  const again = (values: readonly (number | null)[], minute = 0): FindingBook => {
    for (const [place, id] of ids.entries())
      followSupply(guns[id]!, inletBlock(values[place] ?? Number.NaN, minute / 30));
    judgeSupply({ plant, guns, book, now: START + minute * MINUTE, told: [] });
    return book;
  };
  return { book: again(bars), again };
}

describe('supply air', () => {
  it('says what was low while it was, and not one gun of two when the first has its air again', () => {
    const { again } = supplyAfter([4.5, 4.5]);
    const [open] = again([4.5, 6], 30).open;
    bringUpToDate(open!);
    expect(open!.evidence[0]).toBe('inlet pressure of 2 of 2 guns 1.5 bar below the usual at the same time');
  });

  it('is one finding without a gun that lists the guns that lost pressure', () => {
    const { open } = supplyAfter([4.5, 4.5, 4.5]).book;
    expect(open).toHaveLength(1);
    expect(open[0]).toMatchObject({
      gun: null,
      guns: ['gun-1', 'gun-2', 'gun-3'],
      cause: 'supply-air',
      category: 'out-of-specification',
    });
  });

  it.each([
    [[4.5], 0],
    [[4.5, 6], 0],
    [[4.5, 4.5], 1],
    [[4.5, 4.5, 6], 1],
    [[4.5, 4.5, 6, 6], 0],
    [[4.5, 4.5, 4.5, 6, 6], 1],
  ])('is common to at least two guns and most of the line: %j gives %i', (bars, count) => {
    expect(supplyAfter(bars).book.open).toHaveLength(count);
  });

  it.each([
    [5.7, 0],
    [5.5, 1],
  ])('is worth a word from a drop of some 0.4 bar on: 6 to %f bar gives %i', (bar, count) => {
    expect(supplyAfter([bar, bar]).book.open).toHaveLength(count);
  });

  it('began when the first gun was low and not before the last was sound', () => {
    const [finding] = supplyAfter([4.5, 4.5]).book.open;
    expect(finding).toMatchObject({ onset: START - 30 * MINUTE, raised: START });
  });

  it('is judged line by line', () => {
    const { open } = supplyAfter([4.5, 4.5, 6, 6], ['line-a', 'line-a', 'line-b', 'line-b']).book;
    expect(open.map(({ guns }) => guns)).toEqual([['gun-1', 'gun-2']]);
  });

  it('counts no gun without a gauge at its inlet', () => {
    expect(supplyAfter([4.5, null, null]).book.open).toEqual([]);
  });

  it('is cleared when the pressure is back', () => {
    const { book, again } = supplyAfter([4.5, 4.5]);
    expect(book.open).toHaveLength(1);
    again([6, 6]);
    expect([book.open.length, book.closed.length]).toEqual([0, 1]);
  });

  it('keeps saying how far the pressure had fallen while it comes back gun by gun', () => {
    const { again } = supplyAfter([4.5, 4.5, 4.5, 4.5]);
    const book = again([5.9, 6, 5.7, 4.5], 30);
    again([6, 6, 6, 5], 60);
    again([6, 6, 6, 6], 90);
    const [finding] = book.closed;
    expect(finding!.evidence).toEqual([
      'inlet pressure is back',
      'inlet pressure of 4 of 4 guns 1.5 bar below the usual at the same time',
    ]);
  });

  it('is told anew when a line that has stayed low falls again, and not while it is still falling', () => {
    const { book, again } = supplyAfter([5.2, 5.2]);
    again([4.4, 4.4], 60);
    expect([book.open.length, book.closed.length]).toEqual([1, 0]);
    for (let minute = 300; minute < 900; minute += 30) again([4.4, 4.4], minute);
    again([3.4, 3.4], 930);
    expect([book.open.length, book.closed.length]).toEqual([1, 1]);
    expect(book.open[0]!.raised).toBe(START + 930 * MINUTE);
  });
});

describe('a channel that is not read', () => {
  const absent = (until: number | null, never: boolean): StationFact => ({
    kind: 'absent',
    station: 'gun-01',
    channel: 'conveying/flow',
    time: START,
    noticed: START + 120 * MINUTE,
    until: until === null ? null : START + until * MINUTE,
    never,
  });

  it.each([
    [false, 'conveying air flow is not read any more, for 2 hours now,'],
    [
      true,
      'conveying air flow has never been read, though the plant file says that it is fitted, while other readings of the gun came for 2 hours',
    ],
  ])('asks for a look at its sensor once that is known: never read %s', (never, words) => {
    expect(factsAt(119, [absent(null, never)]).open).toEqual([]);
    const [finding, ...others] = factsAt(120, [absent(null, never)]).open;
    expect(others).toEqual([]);
    expect(finding).toMatchObject({ cause: 'sensor:conveying/flow', category: 'function-check', onset: START });
    expect(finding!.evidence[0]).toContain(words);
  });

  it('is told once, where what is read of it lies outside what its sensor can measure', () => {
    const refused: StationFact = { kind: 'range', station: 'gun-01', channel: 'conveying/flow', time: START, count: 9 };
    expect(factsAt(180, [refused, absent(null, false)], [10]).open.map(({ subject }) => subject)).toEqual([
      'range:conveying/flow',
    ]);
  });

  it('says for how long, at each look', () => {
    const evidenceAt = (minute: number) => factsAt(minute, [absent(null, false)], [120]).open[0]!.evidence[0];
    expect(evidenceAt(47 * 60)).toContain('for 47 hours now');
    expect(evidenceAt(75 * 60)).toContain('for 3 days now');
  });

  it('is over with its next reading', () => {
    expect(factsAt(300, [absent(200, false)], [120]).closed).toMatchObject([{ cause: 'sensor:conveying/flow' }]);
  });
});
