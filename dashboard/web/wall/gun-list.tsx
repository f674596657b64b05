import { signal } from '@preact/signals';
import type { JSX } from 'preact';
import { useEffect } from 'preact/hooks';
import type { Wall, WallGun } from '../../server/wall-model.ts';
import type { TimeStyle } from '../words/site-time.ts';
import { compareStates, needsSomeone } from '../words/states.ts';
import { flow } from '../words/units.ts';
import { GunRow } from './gun-row.tsx';
import { gunPage } from './paging.ts';

/** Source: own choice, because some rows are read in as many seconds, and a round of 24 guns stays under a minute. */
const TURN_MS = 10_000;

const turn = signal(0);
const held = signal(false);

interface Props {
  readonly wall: Wall;
  readonly shortNames: ReadonlyMap<string, string>;
  readonly now: number;
  readonly live: boolean;
  readonly style: TimeStyle;
}

/** Every gun; where not all fit, those that need someone stay and the others take turns. */
export function GunList({ wall, shortNames, now, live, style }: Props): JSX.Element {
  useTurns();
  const needs = (gun: WallGun): boolean => needsSomeone(gun.state);
  const compare = (left: WallGun, right: WallGun): number =>
    compareStates(left.state ?? 'unknown', right.state ?? 'unknown');
  const page = gunPage(wall.guns, turn.value, needs, compare);
  return (
    <section class="guns" aria-labelledby="guns-title">
      <h2 id="guns-title" class="unseen">
        Guns
      </h2>
      <table aria-labelledby="guns-title">
        <thead>
          <tr class="gun-heads near">
            <th scope="col" class="unseen">
              State
            </th>
            <th scope="col" class="gun-name">
              Gun
            </th>
            <th scope="col" class="gun-wear">
              wear left
            </th>
            <th scope="col" class="gun-air">
              air/needed, {flow(0, style.units).unit}
            </th>
            <th scope="col" class="gun-age">
              data age
            </th>
            <th scope="col" class="unseen">
              More
            </th>
          </tr>
        </thead>
        <tbody>
          {[...page.guns, ...page.away].map((gun, index) => (
            <GunRow
              key={gun.id}
              gun={gun}
              shortName={shortNames.get(gun.id) ?? gun.name}
              now={now}
              live={live}
              style={style}
              low={page.low && !needs(gun)}
              away={index >= page.guns.length}
            />
          ))}
        </tbody>
      </table>
      {page.pages > 1 && (
        <p class="turns near">
          <span>
            {page.guns.length} of {wall.guns.length} guns.{' '}
            {page.held > 0 ? `The first ${page.held} stay, the others turn` : 'They turn'} every 10 s: {page.page + 1}{' '}
            of {page.pages}
            {held.value && ', held'}
          </span>
          <button type="button" onClick={() => step(-1)} aria-label="Guns before">
            ‹
          </button>
          <button type="button" aria-pressed={held.value} onClick={() => (held.value = !held.value)}>
            Hold
          </button>
          <button type="button" onClick={() => step(1)} aria-label="Guns after">
            ›
          </button>
        </p>
      )}
    </section>
  );
}

function step(by: number): void {
  turn.value += by;
  held.value = true;
}

/** Takes turns every ten seconds; arrow keys turn by hand. */
function useTurns(): void {
  useEffect(() => {
    const timer = setInterval(() => {
      if (!held.peek()) turn.value += 1;
    }, TURN_MS);
    const onKey = ({ key }: KeyboardEvent): void => {
      if (key === 'ArrowRight') step(1);
      if (key === 'ArrowLeft') step(-1);
    };
    document.addEventListener('keydown', onKey);
    return () => {
      clearInterval(timer);
      document.removeEventListener('keydown', onKey);
    };
  }, []);
}
