import type { Block } from './block.ts';
import { linearForm } from './gaussian-state.ts';
import type { PumpGun, PumpPool } from './pump-pool.ts';
import { type Asked, followStop } from './regulator-stop.ts';

/** Needs that differ by so much (ln output, beside twice what is not known of the powders) are answered with other air. Source: own choice, what a notch of 5 % of air does on a usual pump. */
const OTHER_NEED = 0.1;

/**
 * Whether a block of a gun with a set output has the air of a regulator at its stop.
 *
 * @param block of which gun and powder are known to the pool
 */
export function isHeldAir(pool: PumpPool, gun: PumpGun, { powder, output, pressure, flow, runs, end }: Block): boolean {
  // A regulator holds the pressure; what flows at it goes with the line.
  const air = Number.isFinite(pressure) ? Math.log(pressure) : flow;
  const asked = { powder, output, air, runs, time: end };
  return followStop(gun.stop, asked, (one, other) => differ(pool, gun, one, other));
}

/** True where two recipes need different air beyond doubt: by what they ask, and what their powders are known to do. */
function differ({ gaussian, powders }: PumpPool, gun: PumpGun, one: Asked, other: Asked): boolean {
  let off = other.output - one.output;
  let sd = 0;
  if (one.powder !== other.powder) {
    const indices: number[] = [];
    for (const { powder } of [one, other]) {
      const { effect, lot } = powders[powder]!;
      indices.push(effect, lot, gun.powders[powder]!);
    }
    const easier = linearForm(gaussian, indices, [-1, -1, -1, 1, 1, 1]);
    off -= easier.mean;
    sd = Math.sqrt(easier.variance);
  }
  return Math.abs(off) > OTHER_NEED + 2 * sd;
}
