import type { JSX } from 'preact';
import { link, now, wall } from '../link/live.ts';
import { shortGunNames } from '../words/gun-names.ts';
import { GunList } from './gun-list.tsx';
import { JobList } from './job-list.tsx';
import { nameRuler } from './name-ruler.ts';
import { WallHead } from './wall-head.tsx';

/** The wall: what to do next, and every gun, on one screen that is read at 5 m. */
export function WallScreen(): JSX.Element {
  const shown = wall.value;
  const state = link.value;
  const time = now.value;
  if (!shown || time === null || state.kind === 'opening' || state.kind === 'unreached')
    return (
      <main class="wall wall-empty">
        <h1 class="far">driftline</h1>
        <p class="far" role="status">
          {state.kind === 'unreached' ? 'No answer from the service. Trying again.' : 'Connecting…'}
        </p>
      </main>
    );
  const { timezone, units } = shown.site;
  const style = { timezone, units };
  const live = state.kind === 'live';
  // Once the connection is lost nothing is known of what came after: rows stay as they were, struck out.
  const trueAt = state.kind === 'lost' ? state.lastTrueMs : time;
  const names = shortGunNames(shown.guns, nameRuler());
  const shortNames = new Map(shown.guns.map(({ id }, index) => [id, names[index] as string]));
  return (
    <main class="wall">
      <WallHead wall={shown} link={state} now={time} style={style} />
      <JobList wall={shown} shortNames={shortNames} live={live} />
      <GunList wall={shown} shortNames={shortNames} now={trueAt} live={live} style={style} />
    </main>
  );
}
