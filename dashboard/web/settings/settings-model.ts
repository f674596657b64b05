import type { Settings, Tunables } from '../../../collector/contract/index.ts';
import type { Site } from '../../server/endpoints/site.ts';
import { powderName } from '../words/baseline-words.ts';
import { causeName } from '../words/names.ts';

/** How a setting is shown and typed: shares as per cent. */
export interface Field {
  readonly key: keyof Tunables;
  readonly name: string;
  readonly unit: string;
  readonly help: string;
  /** What is shown over what is stored. */
  readonly scale: number;
  readonly min: number;
  readonly max: number;
  readonly default: number;
}

/** JSON Schema of the settings, as far as the form needs it. */
export interface SettingsSchema {
  readonly properties: Readonly<
    Record<
      string,
      {
        readonly description?: string;
        readonly unit?: string;
        readonly minimum?: number;
        readonly maximum?: number;
        readonly default?: number;
      }
    >
  >;
}

/** Names of the settings as people say them, with the unit and the factor in which they are shown. */
export const NAMES: Readonly<
  Record<keyof Tunables, { readonly name: string; readonly unit: string; readonly scale: number }>
> = {
  falseAlarmsPerGunYear: { name: 'False alarms accepted', unit: 'per gun and year', scale: 1 },
  changeLimitExcessAir: { name: 'Excess air at which a part must go', unit: '%', scale: 100 },
  smallestChange: { name: 'Smallest change worth a visit', unit: '% of air', scale: 100 },
  leadTimeShifts: { name: 'Notice wanted', unit: 'shifts', scale: 1 },
  learningRuns: { name: 'Learning length', unit: 'spray runs', scale: 1 },
};

export const TUNABLES = Object.keys(NAMES) as (keyof Tunables)[];

/** The form's fields with range, default and help from the settings' own schema. */
export function fieldsOf(schema: SettingsSchema): Field[] {
  return TUNABLES.map((key) => {
    const { name, unit, scale } = NAMES[key];
    const {
      description = '',
      minimum = 0,
      maximum = Number.POSITIVE_INFINITY,
      default: usual = 0,
    } = schema.properties[key] ?? {};
    return {
      key,
      name,
      unit,
      scale,
      help: description,
      min: minimum * scale,
      max: maximum * scale,
      default: usual * scale,
    };
  });
}

/** A number as it is shown in a field, without the noise of binary fractions. */
export function shownValue(stored: number, scale: number): string {
  return String(Number((stored * scale).toPrecision(8)));
}

/** What a field says; null when it is no number or outside its range. */
export function typedValue(text: string, { scale, min, max, key }: Field): number | null {
  const value = Number(text.replace(',', '.'));
  if (text.trim() === '' || !Number.isFinite(value) || value < min || value > max) return null;
  if (key === 'learningRuns' && !Number.isInteger(value)) return null;
  return Number((value / scale).toPrecision(12));
}

export type Override = Settings['overrides'][number];

/** Guns and powders by what people call them. */
export interface NamedSubjects extends Pick<Site, 'powders'> {
  readonly guns: readonly { readonly id: string; readonly name: string }[];
}

/** "Booth 1 left, White fine, pump insert": for whom other values are. */
export function subjectName({ gun, powder, part }: Override, site: NamedSubjects): string {
  return [
    gun === undefined ? '' : (site.guns.find(({ id }) => id === gun)?.name ?? gun),
    powder === undefined ? '' : powderName(powder, site),
    part === undefined ? '' : causeName(part).toLowerCase(),
  ]
    .filter((word) => word !== '')
    .join(', ');
}

/** Differences of two settings in words, one line each. */
export function differences(from: Settings, to: Settings, site: NamedSubjects): string[] {
  const lines = TUNABLES.filter((key) => from[key] !== to[key]).map((key) => {
    const { name, unit, scale } = NAMES[key];
    return `${name}: ${shownValue(from[key], scale)} → ${shownValue(to[key], scale)} ${unit}`;
  });
  const told = (one: Override): string => {
    const values = TUNABLES.filter((key) => one[key] !== undefined).map(
      (key) => `${NAMES[key].name.toLowerCase()} ${shownValue(one[key]!, NAMES[key].scale)} ${NAMES[key].unit}`,
    );
    return `${subjectName(one, site)}: ${values.join(', ')}`;
  };
  const [before, after] = [from.overrides.map(told), to.overrides.map(told)];
  return [
    ...lines,
    ...before.filter((line) => !after.includes(line)).map((line) => `no longer for ${line}`),
    ...after.filter((line) => !before.includes(line)).map((line) => `for ${line}`),
  ];
}

const subjectOf = ({ gun, powder, part }: Override): string => JSON.stringify([gun, powder, part]);

/**
 * Two people's changes of the same settings in one: mine where I changed something, else theirs. Other values for a gun, powder or
 * part count as one thing.
 *
 * @param base what both began with
 */
export function merged(base: Settings, mine: Settings, theirs: Settings): Settings {
  const values = Object.fromEntries(TUNABLES.map((key) => [key, mine[key] === base[key] ? theirs[key] : mine[key]]));
  const [was, my, their] = [base, mine, theirs].map(
    ({ overrides }) => new Map(overrides.map((one) => [subjectOf(one), one])),
  );
  const text = (one: Override | undefined): string =>
    one === undefined ? '' : TUNABLES.map((key) => one[key] ?? '').join(' ');
  const overrides = [...new Set([...their!.keys(), ...my!.keys()])].flatMap((subject) => {
    const own = my!.get(subject);
    const kept = text(own) === text(was!.get(subject)) ? their!.get(subject) : own;
    return kept === undefined ? [] : [kept];
  });
  return { ...(values as unknown as Tunables), overrides };
}
