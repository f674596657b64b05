import { describe, expect, it } from 'vitest';
import { type ObservedPromise, simulatedPromise } from '../../../analyzer/index.ts';
import { Settings } from '../../../collector/contract/index.ts';
import { PromiseDesk, type SimulateHealthy } from '../../../dashboard/service/promise-desk.ts';

const settings = Settings.parse({});
const observed = (): ObservedPromise => ({
  ...{ gunYears: 0, wrong: 0, right: 0, notJudged: 0 },
  ...{ enough: false, perGunYear: null },
});
const answer = simulatedPromise(1, [{ gunYears: 4, sprayHours: 2000, wrong: [] }]);

/** A simulation that is steered from outside, and ends with the signal's reason when it is aborted. */
function steered() {
  let finish!: () => void;
  let told!: (share: number) => void;
  const simulate: SimulateHealthy = ({ progress, signal }) =>
    new Promise((resolve, reject) => {
      told = progress;
      finish = () => resolve(answer);
      signal.addEventListener('abort', () => reject(signal.reason));
    });
  return { simulate, finish: () => finish(), told: (share: number) => told(share) };
}

const settled = (): Promise<void> => new Promise((resolve) => setImmediate(resolve));

describe('the desk of the rate of false findings', () => {
  it('tells how far a simulation has come, and then its answer with the settings that it is for', async () => {
    const { simulate, finish, told } = steered();
    const desk = new PromiseDesk({ observed, simulate });
    expect(desk.simulation()).toBeNull();
    expect(desk.simulate(settings, 4)).toMatchObject({ state: 'running', share: 0 });
    told(0.5);
    expect(desk.simulation()).toMatchObject({ state: 'running', share: 0.5, answer: null });
    finish();
    await settled();
    expect(desk.simulation()).toMatchObject({ state: 'done', share: 1, answer, settings });
  });

  it('runs one at a time, and forgets one that was cancelled', async () => {
    const { simulate } = steered();
    const desk = new PromiseDesk({ observed, simulate });
    desk.simulate(settings, 4);
    expect(() => desk.simulate(settings, 4)).toThrow(/under way/);
    desk.cancel();
    await settled();
    expect(desk.simulation()).toBeNull();
    expect(desk.simulate(settings, 4).state).toBe('running');
    await desk.stop();
  });

  it('tells why one failed, and that none can be simulated', async () => {
    const failing = new PromiseDesk({ observed, simulate: () => Promise.reject(new Error('no thread')) });
    failing.simulate(settings, 4);
    await settled();
    expect(failing.simulation()).toMatchObject({ state: 'refused', fault: { code: 'INTERNAL' } });
    expect(() => new PromiseDesk({ observed, simulate: null }).simulate(settings, 4)).toThrow(/cannot be simulated/);
  });
});
