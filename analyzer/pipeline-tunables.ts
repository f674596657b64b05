import { type Settings, settingsFor, type Tunables } from '../collector/contract/index.ts';

/** What was worked out of each settings object; settings never change once they are there. */
const known = new WeakMap<Settings, Map<string, Tunables>>();

/** What `settingsFor` says, remembered: every judge asks for it at every look. */
export function tunablesFor(settings: Settings, gun: string, powder: string, part: string): Tunables {
  let of = known.get(settings);
  if (of === undefined) {
    of = new Map();
    known.set(settings, of);
  }
  // Without overrides the answer is the same for all.
  const key = settings.overrides.length === 0 ? '' : `${gun}\n${powder}\n${part}`;
  let tunables = of.get(key);
  if (tunables === undefined) {
    tunables = settingsFor(settings, { gun, powder, part });
    of.set(key, tunables);
  }
  return tunables;
}
