import type { Channel, Frames } from '../../../collector/contract/index.ts';

/** One instant of a made-up station: what it read, by channel; `powder` by its id. */
export type Instant = { time: number; powder?: string } & Partial<Record<Channel, number>>;

/** Columns from instants in order of time, as a store would hand them out. */
export function framesOf(station: string, instants: readonly Instant[]): Frames {
  const names = new Set<Channel>();
  const strings: string[] = [];
  for (const { time: _time, powder, ...values } of instants) {
    for (const name of Object.keys(values)) names.add(name as Channel);
    if (powder !== undefined && !strings.includes(powder)) strings.push(powder);
  }
  const columns: Partial<Record<Channel, Float64Array>> = {};
  for (const name of names) columns[name] = Float64Array.from(instants, (instant) => instant[name] ?? Number.NaN);
  if (strings.length > 0)
    columns['powder/id'] = Float64Array.from(instants, ({ powder }) =>
      powder === undefined ? Number.NaN : strings.indexOf(powder),
    );
  return { station, times: Float64Array.from(instants, ({ time }) => time), columns, strings };
}

/** Rows [from, to) of frames. */
export function sliceFrames(frames: Frames, from: number, to: number): Frames {
  const columns: Partial<Record<Channel, Float64Array>> = {};
  for (const [name, column] of Object.entries(frames.columns)) columns[name as Channel] = column.subarray(from, to);
  return { ...frames, times: frames.times.subarray(from, to), columns };
}

/** Deterministic noise in [-1, 1): a linear congruential generator (Numerical Recipes, ranqd1). */
export function noise(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 31 - 1;
  };
}

export interface PullPlan {
  /** Time with the trigger on and off after it, ms. */
  readonly sprayMs: number;
  readonly idleMs: number;
  readonly flow?: number;
  readonly pressure?: number;
  readonly output?: number;
  readonly powder?: string;
}

export interface Sampling {
  readonly start?: number;
  readonly sprayEveryMs?: number;
  readonly idleEveryMs?: number;
  readonly trigger?: boolean;
  readonly seed?: number;
  readonly noise?: number;
  readonly zero?: number;
  readonly slowEvery?: number;
}

/**
 * Readings of a gun that does the given pulls: air comes up within 1 s, output within 3 s (time constants), the
 * seldom channels every fifth reading.
 */
export function sprayed(pulls: readonly PullPlan[], sampling: Sampling = {}): Instant[] {
  const { start = 1_750_000_000_000, sprayEveryMs = 2000, idleEveryMs = 30_000, trigger = true, seed = 1 } = sampling;
  const { noise: size = 0.01, zero = 0, slowEvery = 5 } = sampling;
  const random = noise(seed);
  const instants: Instant[] = [];
  let begin = start;
  let row = 0;
  for (const pull of pulls) {
    const { flow = 2, pressure = 1.5, output = 150, powder = 'p-1' } = pull;
    for (let age = 0; age < pull.sprayMs + pull.idleMs; ) {
      const on = age < pull.sprayMs;
      const up = (constant: number): number =>
        on ? 1 - Math.exp(-(age + 500) / constant) : Math.exp(-(age - pull.sprayMs + 500) / constant);
      const instant: Instant = {
        time: begin + age,
        powder,
        'conveying/flow': flow * up(1000) + zero + size * random(),
        'conveying/pressure': pressure * up(1000) + size * random(),
        'powder/output': output * up(3000) * (1 + size * random()),
      };
      if (trigger) instant.trigger = on ? 1 : 0;
      if (row++ % slowEvery === 0) instant['supply/pressure'] = (on ? 5.8 : 6) + size * random();
      instants.push(instant);
      const next = age + (on ? sprayEveryMs : idleEveryMs);
      // The release is reported at the next spraying interval, as nodes do.
      age = on && next > pull.sprayMs ? Math.max(pull.sprayMs, age + 1) : next;
    }
    begin += pull.sprayMs + pull.idleMs;
  }
  return instants;
}
