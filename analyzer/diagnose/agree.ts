import type { Tunables } from '../../collector/contract/index.ts';
import type { Bench } from './site-view.ts';

/** Settings that are tried together part here, because they decide differently: thrown to who tries them, who goes back and on with each side. */
export class Parting extends Error {
  /** Places of the settings, one list a side. */
  readonly sides: readonly (readonly number[])[];

  constructor(sides: readonly (readonly number[])[]) {
    super(`settings that were tried together part: ${sides.map((side) => side.join(' ')).join(' | ')}`);
    this.sides = sides;
  }
}

/** @param decided what each of the settings decides, in their order; at least two of them differ */
export function part(decided: readonly unknown[]): Parting {
  const sides = new Map<unknown, number[]>();
  for (const [place, one] of decided.entries()) sides.set(one, [...(sides.get(one) ?? []), place]);
  return new Parting([...sides.values()]);
}

/**
 * What the settings decide about what is believed from here on, e.g. whether a case is opened. Where several are tried together they
 * share one belief as long as all decide alike.
 *
 * @param decide must change nothing
 * @param by the one value of `tunables` that it looks at, where it is one: then it is not asked again for the same value
 * @throws {Parting} where they do not
 */
export function agree<Decision extends number | boolean>(
  bench: Bench,
  decide: (own: Bench) => Decision,
  by?: keyof Tunables,
): Decision {
  const { apart } = bench;
  if (apart === undefined) return decide(bench);
  const first = decide(apart[0]!);
  for (let place = 1; place < apart.length; place++) {
    if (by !== undefined && apart[place]!.tunables[by] === apart[place - 1]!.tunables[by]) continue;
    if (decide(apart[place]!) !== first) throw part(apart.map(decide));
  }
  return first;
}
