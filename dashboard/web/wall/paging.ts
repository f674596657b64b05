/** Room for rows of guns on the wall and what a row takes, in pixels of a 1080 pixel screen. */
export const ROOM_PX = 956;
export const ROW_PX = 118;
/** A row without its small line, for guns that need nobody where not all would fit else. */
export const LOW_ROW_PX = 84;
/** The line that says which guns are shown. */
const FOOT_PX = 60;
/** Guns that need someone and stay on every page. Source: own choice, half of the room remains for the others. */
const HELD = 4;

export interface GunPage<Gun> {
  /** Guns shown, those that stay first. */
  readonly guns: readonly Gun[];
  /** Guns that other pages show. */
  readonly away: readonly Gun[];
  /** How many of them stay while the others change. */
  readonly held: number;
  /** True when guns that need nobody have low rows. */
  readonly low: boolean;
  readonly page: number;
  readonly pages: number;
}

/**
 * The guns that page number `turn` shows (it wraps). Where all fit they are all there, in their own order, on low rows
 * if need be. Where they don't, up to four that need someone, worst first, stay on every page, and all others take turns.
 *
 * @param needs true for a gun that needs someone
 * @param compare negative when the first gun is worse off
 */
export function gunPage<Gun>(
  guns: readonly Gun[],
  turn: number,
  needs: (gun: Gun) => boolean,
  compare: (left: Gun, right: Gun) => number,
): GunPage<Gun> {
  const one = { guns, away: [], held: 0, page: 0, pages: 1 };
  if (guns.length * ROW_PX <= ROOM_PX) return { ...one, low: false };
  const height = (some: readonly Gun[]): number =>
    some.reduce((sum, gun) => sum + (needs(gun) ? ROW_PX : LOW_ROW_PX), 0);
  if (height(guns) <= ROOM_PX) return { ...one, low: true };

  const held = guns.filter(needs).sort(compare).slice(0, HELD);
  const room = ROOM_PX - FOOT_PX - height(held);
  const pages: Gun[][] = [[]];
  for (const gun of guns) {
    if (held.includes(gun)) continue;
    const last = pages.at(-1) as Gun[];
    if (height([...last, gun]) <= room) last.push(gun);
    else pages.push([gun]);
  }
  const page = ((turn % pages.length) + pages.length) % pages.length;
  const shown = [...held, ...(pages[page] as Gun[])];
  const away = guns.filter((gun) => !shown.includes(gun));
  return { guns: shown, away, held: held.length, low: true, page, pages: pages.length };
}
