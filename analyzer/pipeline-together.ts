import type { Settings, Tunables } from '../collector/contract/index.ts';
import { part } from './diagnose/agree.ts';
import { tunablesFor } from './pipeline-tunables.ts';

/** What was worked out for each list of settings that are tried together, by gun, powder and part. */
const known = new WeakMap<readonly Settings[], Map<string, Tunables>>();

/**
 * What several settings say alike of a gun, powder and part. A value on which they differ cannot be read: whoever reads it all the same
 * lets them part there, so that none ever follows another's value.
 */
export function commonTunables(together: readonly Settings[], gun: string, powder: string, part: string): Tunables {
  let of = known.get(together);
  if (of === undefined) {
    of = new Map();
    known.set(together, of);
  }
  const key = together.every(({ overrides }) => overrides.length === 0) ? '' : `${gun}\n${powder}\n${part}`;
  let common = of.get(key);
  if (common === undefined) {
    common = commonOf(together.map((settings) => tunablesFor(settings, gun, powder, part)));
    of.set(key, common);
  }
  return common;
}

function commonOf(all: readonly Tunables[]): Tunables {
  const common = { ...all[0]! };
  for (const name of Object.keys(common) as (keyof Tunables)[]) {
    const values = all.map((one) => one[name]);
    if (values.every((value) => value === values[0])) continue;
    Object.defineProperty(common, name, {
      get(): number {
        throw part(values);
      },
    });
  }
  return common;
}
