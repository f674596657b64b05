import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { finish } from '../../../analyzer/index.ts';
import { RunTape } from '../../../analyzer/pipeline-tape.ts';
import type { SiteHistory } from '../../../analyzer/study/history.ts';
import { type ReplayedFindings, replayHistory } from '../../../analyzer/study/replay-history.ts';
import { fromShared, sharedHistory, toShared } from '../../../analyzer/study/shared-history.ts';
import { Settings } from '../../../collector/contract/index.ts';
import { historyOf } from './history-of.ts';

const history = historyOf(5, 2);
const GUN = history.plant.guns[0]!.id;

const taped = (untaped: SiteHistory): SiteHistory => ({
  ...untaped,
  tape: finish(RunTape.recording(untaped.plant, untaped.tracks, untaped.log, untaped.upTo)),
});
const replayed = (on: SiteHistory, settings: Settings): ReplayedFindings =>
  finish(replayHistory(on, settings, on.upTo + 1));
const shown = ({ findings, sprayHoursPerShift }: ReplayedFindings): string =>
  JSON.stringify([findings, [...sprayHoursPerShift]]);

const asked = {
  falseAlarmsPerGunYear: fc.double({ min: 0.05, max: 10, noNaN: true }),
  changeLimitExcessAir: fc.double({ min: 0.06, max: 0.6, noNaN: true }),
  smallestChange: fc.double({ min: 0.01, max: 0.05, noNaN: true }),
  learningRuns: fc.integer({ min: 10, max: 600 }),
  leadTimeShifts: fc.integer({ min: 0, max: 20 }),
};
const settings = fc
  .record({ ...asked, own: fc.option(fc.record({ learningRuns: asked.learningRuns, powder: fc.boolean() })) })
  .map(({ own, ...rest }) =>
    Settings.parse({
      ...rest,
      overrides:
        own === null
          ? []
          : [{ ...(own.powder ? { powder: 'p-white-07' } : { gun: GUN }), learningRuns: own.learningRuns }],
    }),
  );

describe('a replay from a tape', () => {
  test('finds, text for text, what one without finds, whatever the settings, here and in another thread', () => {
    const tape = taped(history);
    const elsewhere = fromShared(structuredClone(toShared(sharedHistory(tape))));
    fc.assert(
      fc.property(settings, (one) => {
        const plain = shown(replayed(history, one));
        expect(shown(replayed(tape, one))).toBe(plain);
        expect(shown(replayed(elsewhere, one))).toBe(plain);
      }),
      { numRuns: 4 },
    );
  }, 60_000);

  test('tells of a zero that goes off and comes back as one without does', () => {
    const off = { ...history, tracks: new Map(history.tracks) };
    const track = history.tracks.get(GUN)!;
    const { length, columns } = track.runs;
    const zero = columns.zeroConveyingFlow.map((value, row) =>
      row > length / 4 && row < length / 2 ? value + 0.15 : value,
    );
    const samples = columns.idleSamples.map(() => 5);
    off.tracks.set(GUN, {
      ...track,
      runs: { ...track.runs, columns: { ...columns, idleSamples: samples, zeroConveyingFlow: zero } },
    });
    const plain = replayed(off, Settings.parse({}));
    expect(shown(replayed(taped(off), Settings.parse({})))).toBe(shown(plain));
    const told = plain.findings.find(({ cause }) => cause === 'sensor:conveying/flow');
    expect(told?.cleared).not.toBeNull();
    expect(told?.evidence.join()).toContain('its zero is off');
  }, 60_000);
});
