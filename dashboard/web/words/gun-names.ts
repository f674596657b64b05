export interface Named {
  readonly id: string;
  readonly name: string;
}

/** Room on a line, and how much of it a text takes, in the same unit. */
export interface Ruler {
  readonly room: number;
  width(text: string): number;
}

/**
 * Names that fit the wall's column, all different, in the order of `guns`. Names that fit stay. When one is too
 * long, a first word that all share is cut to its initial ("Booth 1 touch-up" becomes "B1 touch-up"); what is still
 * too long loses its middle, since both ends tell guns apart; two that became alike show their ids.
 */
export function shortGunNames(guns: readonly Named[], ruler: Ruler): string[] {
  const names = guns.map(({ name }) => name.trim());
  const tooLong = names.some((name) => !fits(name, ruler));
  const first = names[0]?.split(' ')[0] ?? '';
  const shared =
    tooLong &&
    first.length > 1 &&
    names.every((name) => name.startsWith(`${first} `) && name.length > first.length + 1);
  const shorter = names
    .map((name) => (shared ? initial(first, name.slice(first.length + 1)) : name))
    .map((name) => cutMiddle(name, ruler));
  return shorter.map((name, index) => {
    if (shorter.indexOf(name) === shorter.lastIndexOf(name)) return name;
    return cutMiddle((guns[index] as Named).id, ruler, `${index + 1}: `);
  });
}

const fits = (text: string, ruler: Ruler): boolean => ruler.width(text) <= ruler.room;

const initial = (word: string, rest: string): string => `${word[0]}${/^\d/.test(rest) ? '' : '. '}${rest}`;

/** Share of the room that the end of a name may take when its middle goes. Source: own choice, ends differ more often. */
const END_SHARE = 0.68;

/** Cuts out the middle of a name that does not fit; `prefix` is put before it then. */
export function cutMiddle(name: string, ruler: Ruler, prefix = ''): string {
  if (fits(name, ruler)) return name;
  const end = endOf(name, ruler);
  for (let length = name.length - end.length; length > 0; length -= 1) {
    const cut = `${prefix}${name.slice(0, length).trimEnd()}…${end}`;
    if (fits(cut, ruler)) return cut;
  }
  return `${prefix}…${end}`;
}

/** As many whole last words as may be kept; part of the last one when it is too long itself. */
function endOf(name: string, { room, width }: Ruler): string {
  const small = (text: string): boolean => width(text) <= room * END_SHARE;
  const words = name.split(' ');
  let end = '';
  while (words.length > 1) {
    const longer = [words.pop(), end].filter(Boolean).join(' ');
    if (!small(longer)) break;
    end = longer;
  }
  if (end !== '') return end;
  let letters = name.slice(-1);
  while (width(name.slice(-letters.length - 1)) <= room / 2) letters = name.slice(-letters.length - 1);
  return letters;
}
