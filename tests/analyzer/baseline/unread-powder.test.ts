import { describe, expect, it } from 'vitest';
import { curesUnread } from '../../../analyzer/baseline/cures-unread.ts';
import {
  followUnread,
  leakIn,
  loosensUnread,
  newUnreadPowder,
  refitsUnread,
  renewsUnread,
  type UnreadPowder,
} from '../../../analyzer/baseline/unread-powder.ts';
import { packState, unpackState } from '../../../analyzer/live/state-bytes.ts';

const MINUTE = 60_000;
/** What four powders do, ln of output. */
const POWDERS = [0, -0.12, 0.1, -0.05];

/** A gun that changes its powder every two or three hours of the clock, sprays a third of them, and leaks from some hour on. */
function spray(hours: number, leak: (hour: number) => number, state = newUnreadPowder(), from = 0): UnreadPowder {
  for (let at = from; at < from + hours * 8; at++) {
    const campaign = Math.floor(at / 7);
    const powder = POWDERS[(campaign * campaign) % 4]!;
    const pause = at % 7 === 0 ? 12 : 1;
    const start = (at * 24 + pause) * MINUTE;
    const scatter = 0.012 * (((at * 7) % 5) - 2);
    const level = powder + scatter - leak(at / 8);
    followUnread(
      state,
      { start, end: (at + 1) * 24 * MINUTE, hours: 1 / 8, level, variance: 0.02 ** 2, output: 5 },
      false,
    );
  }
  return state;
}

describe('a leak that begins to be likely', () => {
  it('counts its spray hours from the last block at which it was not, and none while it is not', () => {
    const state = spray(40, () => 0);
    expect(state.likelyHours).toBe(0);
    spray(6, () => 0.2, state, 40 * 8);
    expect(leakIn(state).probability).toBeGreaterThan(0.9);
    expect(state.likelyHours).toBeGreaterThan(1);
    expect(state.likelyHours).toBeLessThanOrEqual(6);
    spray(12, () => 0, state, 46 * 8);
    expect(state.likelyHours).toBe(0);
  });
});

describe('powders that are not read', () => {
  it('are no leak, however often they change', () => {
    const state = newUnreadPowder();
    for (let hour = 0; hour < 80; hour += 4) {
      spray(4, () => 0, state, hour * 8);
      if (hour > 20) expect(leakIn(state).probability).toBeLessThan(0.5);
    }
  });

  it('are no leak where one that gives little is sprayed for days, over many pauses', () => {
    const state = newUnreadPowder();
    // Forty days of two powders in turn, five days each; then one that gives less, for as long as a campaign lasts.
    const day = (at: number, level: number): void => {
      for (let block = 0; block < 16; block++) {
        const start = (at * 24 * 60 + block * 30 + 10) * MINUTE;
        const scatter = 0.012 * (((block * 7) % 5) - 2);
        followUnread(
          state,
          { start, end: start + 20 * MINUTE, hours: 1 / 8, level: level + scatter, variance: 4e-4, output: 5 },
          false,
        );
      }
    };
    for (let at = 0; at < 40; at++) day(at, Math.floor(at / 5) % 2 === 0 ? 0 : -0.06);
    for (let at = 40; at < 45; at++) {
      day(at, -0.2);
      expect(leakIn(state).probability).toBeLessThan(0.9);
    }
    expect(state.changed / state.paused).toBeLessThan(0.15);
  });

  it('change with a recipe of a set output, whose air a hand has set apart', () => {
    const seen = [5, 5.7].map((output) => {
      const state = spray(40, () => 0);
      for (let at = 320; at < 324; at++) {
        const start = (at * 24 + 1) * MINUTE;
        const block = { start, end: start + 23 * MINUTE, hours: 1 / 8, level: -0.25, variance: 4e-4 };
        followUnread(state, { ...block, output: at === 320 ? 5 : output }, true);
      }
      return state.paused;
    });
    expect(seen[1]!).toBeGreaterThan(seen[0]!);
  });

  /** A gun of one powder whose output falls from some hour on, behind a pause of so many minutes, and stays there. */
  function fall(hour: number, pause: number): UnreadPowder {
    const state = newUnreadPowder();
    for (let at = 0; at < (hour + 8) * 8; at++) {
      const level = at < hour * 8 ? 0.01 * (((at * 7) % 5) - 2) : -0.18 - 0.01 * ((at * 7) % 3);
      const start = (at * 24 + (at === hour * 8 ? pause : 1)) * MINUTE;
      followUnread(
        state,
        { start, end: (at + 1) * 24 * MINUTE, hours: 1 / 8, level, variance: 4e-4, output: 5 },
        false,
      );
    }
    return state;
  }

  it('are no leak when the first of them lowers the output, before others have come round', () => {
    const [early, late] = [fall(6, 12), fall(60, 12)].map((state) => leakIn(state).probability);
    expect(early!).toBeLessThan(0.1);
    expect(late!).toBeGreaterThan(3 * early!);
  });

  it('hardly change while work goes on: what falls then leaks rather than what falls behind a pause', () => {
    const [within, behind] = [fall(60, 1), fall(60, 12)].map((state) => leakIn(state).probability);
    expect(within!).toBeGreaterThan(0.5);
    expect(behind!).toBeLessThan(0.2);
  });

  it('are told from a leak that takes the same off all of them, whose size and beginning are found', () => {
    const state = spray(60, (hour) => (hour < 54 ? 0 : 0.2));
    const { probability, mean, sd } = leakIn(state);
    expect(probability).toBeGreaterThan(0.95);
    expect(mean).toBeGreaterThan(0.15);
    expect(mean).toBeLessThan(0.25);
    expect(sd).toBeLessThan(0.06);
    expect(Math.abs(state.onset / (24 * MINUTE) - 54 * 8)).toBeLessThan(8);
  });

  it('leave as much doubt as leaks come and go by themselves, where readings say nothing', () => {
    const state = newUnreadPowder();
    for (let at = 0; at < 4000; at++)
      followUnread(
        state,
        { start: at * MINUTE, end: (at + 1) * MINUTE, hours: 0.2, level: 0, variance: 1e6, output: 5 },
        false,
      );
    // One in 100 spray hours begins and one in 60 ends: a leak is there for 0.01 / (0.01 + 1 / 60) of the time.
    expect(leakIn(state).probability).toBeCloseTo(0.375, 2);
  });
});

describe('a leak among them', () => {
  it('has most likely ended with a change of the seals', () => {
    const state = spray(60, (hour) => (hour < 54 ? 0 : 0.2));
    const before = leakIn(state).probability;
    curesUnread(state, 'seals');
    expect(leakIn(state).probability).toBeCloseTo(0.15 * before, 10);
    spray(3, () => 0, state, 60 * 8);
    expect(leakIn(state).probability).toBeLessThan(0.05);
  });

  it('may have ended with a change of the hose, whose kink looks like one', () => {
    const [hose, none] = [0, 1].map(() => spray(60, (hour) => (hour < 54 ? 0 : 0.2))) as [UnreadPowder, UnreadPowder];
    const before = leakIn(hose).probability;
    curesUnread(hose, 'hose');
    expect(leakIn(hose).probability).toBeCloseTo(0.7 * before, 10);
    for (const state of [hose, none]) spray(1, () => 0, state, 60 * 8);
    expect(leakIn(hose).probability).toBeLessThan(0.5 * leakIn(none).probability);
  });

  it('is none where all levels lie lower since the insert was changed, whose wear was believed too large', () => {
    const told = [true, false].map((renewed) => {
      const state = spray(60, () => 0);
      state.wear.held = 0.4;
      if (renewed) renewsUnread(state);
      return leakIn(spray(20, () => 0.14, state, 60 * 8)).probability;
    });
    expect(told[0]!).toBeLessThan(0.3);
    expect(told[1]!).toBeGreaterThan(0.9);
  });

  it('is told behind a new insert too, and goes on beside it', () => {
    const later = spray(60, () => 0);
    renewsUnread(later);
    spray(20, () => 0, later, 60 * 8);
    expect(leakIn(spray(6, () => 0.2, later, 80 * 8)).probability).toBeGreaterThan(0.9);
    const before = spray(60, (hour) => (hour < 54 ? 0 : 0.2));
    renewsUnread(before);
    expect(before.anew).toBeNull();
    expect(leakIn(before).probability).toBeGreaterThan(0.9);
  });

  it('is likelier after a refit', () => {
    const [plain, refitted] = [spray(40, () => 0), spray(40, () => 0)];
    refitsUnread(refitted, 40 * 8 * 24 * MINUTE);
    for (const state of [plain, refitted]) spray(0.5, () => 0.2, state, 40 * 8);
    const [more, less] = [leakIn(refitted).probability, leakIn(plain).probability];
    expect(more / (1 - more)).toBeGreaterThan((2 * less) / (1 - less));
  });
});

describe('its belief', () => {
  it('stays a probability whatever is read, and through an exchange of insert or sensor', () => {
    const state = spray(20, () => 0);
    for (const level of [9, -9, 0.59, -0.61])
      followUnread(state, { start: 1e9, end: 1e9 + MINUTE, hours: 0.1, level, variance: 1e-4, output: 5 }, true);
    loosensUnread(state);
    expect(state.belief.every((share) => share >= 0)).toBe(true);
    expect(state.belief.reduce((sum, share) => sum + share, 0)).toBeCloseTo(1, 10);
  });

  it('is the same after it was stored', () => {
    const state = spray(10, () => 0);
    const stored = unpackState<UnreadPowder>(packState(state));
    for (const each of [state, stored]) spray(5, () => 0.1, each, 80);
    expect(stored).toEqual(state);
  });
});
