import { causeName } from '../words/names.ts';

type Body = Readonly<Record<string, unknown>>;
type Say = (path: readonly string[], body: Body, gun: (id: unknown) => string) => string;

const text = (value: unknown): string => (typeof value === 'string' || typeof value === 'number' ? String(value) : '');
const part = (value: unknown): string => causeName(text(value)).toLowerCase();
const because = (value: unknown): string => (text(value) === '' ? '' : `: ${text(value)}`);

const MOVES: Readonly<Record<string, string>> = {
  counted: 'on the shelf, counted',
  delivered: 'delivered',
  taken: 'taken from the shelf by hand',
  ordered: 'on order',
};
const DEEDS: Readonly<Record<string, string>> = {
  acknowledge: 'Acknowledged a job',
  plan: 'Planned a job',
  unplan: 'Took the plan of a job back',
  shelve: 'Shelved a job',
  unshelve: 'Took a job off the shelf',
  done: 'Said that a job is done',
  undo: 'Took the last word on a job back',
};

/** What the addresses of the API change, as people say it; a star stands for one step of the path. */
const SENTENCES: Readonly<Record<string, Say>> = {
  'POST /api/log': (_, { gun, part: of, action, found }, nameOf) =>
    `Logged at ${nameOf(gun)}: ${part(of)} ${text(action)}${found ? `, found ${text(found)}` : ''}`,
  'POST /api/log/*/correct': ([, , id], { why }) => `Corrected log entry ${id}${because(why)}`,
  'POST /api/settings': (_, { why }) => `Adopted settings${because(why)}`,
  'POST /api/settings/revert': (_, { to }) => `Went back to version ${text(to)} of the settings`,
  'POST /api/judgements': (_, { gun, cause, judged, reason }, nameOf) =>
    judged === null
      ? `Took back the word on a finding: ${part(cause)} of ${nameOf(gun)}`
      : `Called a finding ${text(judged)}: ${part(cause)} of ${nameOf(gun)}${because(reason)}`,
  'POST /api/exclusions': (_, { gun, reason }, nameOf) => `Left out runs of ${nameOf(gun)}${because(reason)}`,
  'DELETE /api/exclusions/*': () => 'Took runs in again',
  'POST /api/studies': () => 'Tried settings on the past',
  'POST /api/studies/bundles': (_, { file }) => `Began to send a study bundle: ${text(file)}`,
  'POST /api/studies/bundles/*/open': () => 'Opened a study bundle',
  'DELETE /api/studies/bundles/*': () => 'Let a study bundle go',
  'DELETE /api/studies/*': () => 'Ended a try of settings',
  'POST /api/promise': () => 'Asked what settings promise',
  'POST /api/promise/simulation': () => 'Had a promise simulated',
  'DELETE /api/promise/simulation': () => 'Ended the simulation of a promise',
  'POST /api/relearnings': (_, { gun, reason }, nameOf) =>
    `Had the baseline of ${nameOf(gun)} learnt anew${because(reason)}`,
  'DELETE /api/relearnings/*': () => 'Took a learning anew back',
  'POST /api/silent-changes/confirm': (_, { gun, part: of }, nameOf) =>
    `Confirmed a change that nobody had logged: ${part(of)} of ${nameOf(gun)}`,
  'POST /api/silent-changes/dismiss': (_, { gun, reason }, nameOf) =>
    `Dismissed a suspected change of ${nameOf(gun)}${because(reason)}`,
  'DELETE /api/silent-changes/dismissals/*': () => 'Took back that a suspected change was none',
  'POST /api/jobs/*/deeds': ([, , id], { deed, reason, note }, nameOf) => {
    const what = typeof deed === 'string' ? deed : text((deed as Body | undefined)?.deed);
    const [gun, cause] = decodeURIComponent(id ?? '').split('~');
    // An address has no room for the marks of a sensor's name: `sensor.conveying.flow`.
    const of = cause?.replace(
      /^sensor\.(\w+)\.?/,
      (_, first) => `sensor:${first}${cause.split('.').length > 2 ? '/' : ''}`,
    );
    return `${DEEDS[what] ?? 'Changed a job'}: ${part(of)} of ${gun === '_' ? 'several guns' : nameOf(gun)}${because(reason ?? note)}`;
  },
  'PUT /api/intervals/*/*': ([, , gun, of], _, nameOf) =>
    `Set the interval of the ${part(of)} for ${gun === '_' || gun === 'all' ? 'all guns' : nameOf(gun)}`,
  'PUT /api/calendar': () => 'Changed shifts, holidays, stops or colour changes',
  'PUT /api/guns/*/service': ([, , gun], { outOfService }, nameOf) =>
    `${outOfService === null ? 'Put back into service' : 'Took out of service'}: ${nameOf(gun)}`,
  'POST /api/stock/moves': (_, { part: of, kind, quantity, note }) =>
    `${causeName(text(of))}: ${text(quantity)} ${MOVES[text(kind)] ?? text(kind)}${because(note)}`,
  'POST /api/stock/moves/*/undo': ([, , , id]) => `Took line ${id} of the shelf back`,
  'PUT /api/stock/*': ([, , of]) => `Stated how the ${part(of)} is kept on the shelf`,
  'PUT /api/cost/figures': () => 'Stated the shop’s own figures',
  'PUT /api/cost/losses/*/*': ([, , , month, gun], _, nameOf) =>
    `Stated powder and rejects of ${nameOf(gun)} for ${month}`,
  'POST /api/telling/test': () => 'Sent a test message',
  'POST /api/imports': (_, { file }) => `Gave a file of readings: ${text(file)}`,
  'POST /api/imports/*/run': ([, , id], { task }) =>
    task === 'dry-run' ? `Had file ${id} read, without storing` : `Imported file ${id}`,
  'POST /api/imports/*/cancel': ([, , id]) => `Cancelled the import of file ${id}`,
  'DELETE /api/imports/*': ([, , id]) => `Forgot file ${id}`,
};

const PATTERNS = Object.entries(SENTENCES).map(([pattern, say]) => ({
  matches: new RegExp(`^${pattern.replaceAll('*', '[^/]+')}$`),
  say,
}));

/**
 * What was changed, as a plain sentence; null where the entry has words of its own already.
 *
 * @param what method and path, or words
 * @param detail what was sent, as JSON; may be cut
 * @param gunName a gun's name by its id
 */
export function auditSentence(what: string, detail: string, gunName: (id: string) => string): string | null {
  if (!/^(POST|PUT|DELETE) \//.test(what)) return null;
  const found = PATTERNS.find(({ matches }) => matches.test(what));
  if (found === undefined) return 'Changed something by the API';
  const path = what.split(' ')[1]!.split('/').slice(1);
  const gun = (id: unknown): string => (typeof id === 'string' && id !== '' ? gunName(id) : 'several guns');
  return found.say(path, bodyOf(detail), gun);
}

/** What was sent; of a text that was cut nothing is known for sure but its first fields. */
function bodyOf(detail: string): Body {
  try {
    const body: unknown = JSON.parse(detail === '' ? '{}' : detail);
    return typeof body === 'object' && body !== null ? (body as Body) : {};
  } catch (error) {
    if (!(error instanceof SyntaxError)) throw error;
    const fields = [...detail.matchAll(/"(\w+)":("(?:[^"\\]|\\.)*"|-?\d+(?:\.\d+)?)/g)];
    return Object.fromEntries(fields.reverse().map(([, name, value]) => [name, JSON.parse(value!)]));
  }
}
