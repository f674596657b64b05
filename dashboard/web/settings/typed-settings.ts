import { type Contradiction, contradictions } from '../../../collector/contract/contradictions.ts';
import type { PART_IDS, Settings } from '../../../collector/contract/index.ts';
import type { Site } from '../../server/endpoints/site.ts';
import { powderMeant, powderName } from '../words/baseline-words.ts';
import { type Field, NAMES, type Override, shownValue } from './settings-model.ts';

/** What is typed, before it is known to be numbers. */
export interface Typed {
  readonly values: Readonly<Record<string, string>>;
  readonly overrides: readonly TypedOverride[];
}

export interface TypedOverride {
  readonly gun: string;
  /** Its name or id as it is typed. */
  readonly powder: string;
  readonly part: string;
  readonly values: Readonly<Record<string, string>>;
}

/** A row before anything is typed into it. */
export const EMPTY: TypedOverride = { gun: '', powder: '', part: '', values: {} };

/** Settings as the form shows them. */
export function typedFrom(settings: Settings, fields: readonly Field[], site: Pick<Site, 'powders'>): Typed {
  const shown = (of: Readonly<Partial<Record<string, number>>>): Record<string, string> =>
    Object.fromEntries(
      fields.flatMap(({ key, scale }) => (of[key] === undefined ? [] : [[key, shownValue(of[key], scale)]])),
    );
  return {
    values: shown(settings as unknown as Record<string, number>),
    overrides: settings.overrides.map((one) => ({
      ...{ gun: one.gun ?? '', part: one.part ?? '' },
      powder: one.powder === undefined ? '' : powderName(one.powder, site),
      values: shown(one as unknown as Record<string, number>),
    })),
  };
}

/** The settings that are typed, and what is wrong with them by field, `overrides.<row>.<field>` for those of one gun. */
export function settingsFrom(
  typed: Typed,
  fields: readonly Field[],
  read: (text: string, field: Field) => number | null,
  site: Pick<Site, 'powders'>,
): { readonly settings: Settings; readonly faults: Readonly<Record<string, string>> } {
  const faults: Record<string, string> = {};
  const fault = (field: Field): string =>
    `expected ${field.key === 'learningRuns' ? 'a whole number' : 'a number'} from ${field.min} to ${field.max}`;
  const values: Record<string, number> = {};
  for (const field of fields) {
    const value = read(typed.values[field.key] ?? '', field);
    if (value === null) faults[field.key] = fault(field);
    else values[field.key] = value;
  }
  const overrides = typed.overrides.map((one, row): Override => {
    const own: Record<string, number> = {};
    for (const field of fields) {
      const text = one.values[field.key] ?? '';
      if (text.trim() === '') continue;
      const value = read(text, field);
      if (value === null) faults[`overrides.${row}.${field.key}`] = fault(field);
      else own[field.key] = value;
    }
    const powder = powderMeant(one.powder, site);
    if (one.gun === '' && powder === '' && one.part === '')
      faults[`overrides.${row}`] = 'expected a gun, a powder or a part that it is for';
    else if (Object.keys(own).length === 0 && !Object.keys(faults).some((key) => key.startsWith(`overrides.${row}.`)))
      faults[`overrides.${row}`] = 'expected a value that differs';
    return {
      ...(one.gun === '' ? {} : { gun: one.gun }),
      ...(powder === '' ? {} : { powder }),
      ...(one.part === '' ? {} : { part: one.part as (typeof PART_IDS)[number] }),
      ...own,
    };
  });
  const settings = { ...values, overrides } as unknown as Settings;
  if (Object.keys(faults).length === 0)
    for (const one of contradictions(settings)) faults[one.path.join('.')] = contradictionFault(one);
  return { settings, faults };
}

/** A contradiction in the form's own rows and units. */
function contradictionFault(one: Contradiction): string {
  if (one.kind === 'twice') return `expected one value: row ${one.row + 1} says another for the same`;
  const limit = NAMES.changeLimitExcessAir;
  return `expected at most the excess air at which the part must go (${shownValue(one.changeLimitExcessAir, limit.scale)} ${limit.unit}): it would have to go before its change is worth a visit`;
}
