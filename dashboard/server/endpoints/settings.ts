import { z } from 'zod';
import { consequences, hallFigures, parameters } from '../../../analyzer/index.ts';
import { AppError, idleOverrides, Settings, StatedSettings } from '../../../collector/contract/index.ts';
import type { StoredSettings } from '../../../collector/index.ts';
import { endpoint, ok } from '../endpoint.ts';
import type { DashboardSources } from '../sources.ts';
import type { Adoption, TuningSource } from '../tuning-source.ts';

const Version = z
  .strictObject({
    version: z.number().int(),
    adopted: z.iso.datetime().meta({ description: 'Findings follow it from here on' }),
    recordedAt: z.iso.datetime(),
    who: z.string(),
    why: z.string(),
    expected: z.string().meta({ description: 'What was expected of it, in words' }),
    settings: Settings,
  })
  .meta({ id: 'SettingsVersion' });
type Version = z.infer<typeof Version>;

const shown = ({ adopted, recordedAt, ...rest }: StoredSettings): Version => ({
  ...rest,
  adopted: new Date(adopted).toISOString(),
  recordedAt: new Date(recordedAt).toISOString(),
});

const told = {
  why: z.string().trim().min(1).max(500).meta({ description: 'Why, in words' }),
  expected: z.string().trim().max(500).default('').meta({ description: 'What is expected of it' }),
  after: z
    .number()
    .int()
    .min(1)
    .meta({ description: 'The version that was changed: a newer one is told, not overwritten' }),
};

const Adopted = Version.extend({
  warnings: z.array(z.string()).meta({ description: 'Overrides of what is not there, a sentence each' }),
}).meta({ id: 'AdoptedSettings' });

/** What was adopted, with what of it changes nothing. */
function adopted({ sources, settings, adoption }: Adopting): z.infer<typeof Adopted> {
  const tuning = tuningOf(sources);
  const version = tuning.adopt(settings, adoption);
  const idle = idleOverrides(settings, sources.plant, tuning.powders());
  return { ...shown(version), warnings: idle.map(({ sentence }) => sentence) };
}

interface Adopting {
  readonly sources: DashboardSources;
  readonly settings: Settings;
  readonly adoption: Adoption;
}

/** The engineer's side, where it is kept. */
export function tuningOf({ tuning }: { readonly tuning?: TuningSource }): TuningSource {
  if (tuning === undefined) throw new AppError('NOT_FOUND', 'no settings are kept here');
  return tuning;
}

export const settingsVersions = endpoint({
  method: 'get',
  path: '/api/settings',
  summary: 'All versions of the settings, newest first; the first is the one that holds',
  role: 'fitter',
  success: { 200: 'Versions' },
  answer: z.array(Version),
  problems: ['NOT_FOUND'],
  handle: ({ sources }) => ok([...tuningOf(sources).versions()].reverse().map(shown)),
});

export const settingsSchema = endpoint({
  method: 'get',
  path: '/api/settings/schema',
  summary: 'Every setting with its unit, range, default and help, as JSON Schema',
  role: 'fitter',
  success: { 200: 'JSON Schema' },
  answer: z.record(z.string(), z.unknown()),
  problems: [],
  handle: () => ok(z.toJSONSchema(Settings, { io: 'input' }) as Record<string, unknown>),
});

export const adoptSettings = endpoint({
  method: 'post',
  path: '/api/settings',
  summary: 'Makes settings the next version, from now on; what was raised before stays as it is',
  role: 'engineer',
  body: z.strictObject({ settings: StatedSettings, ...told }).meta({ id: 'SettingsAdoption' }),
  success: { 201: 'Adopted' },
  answer: Adopted,
  problems: ['EDITED_MEANWHILE', 'NOT_FOUND'],
  handle: ({ sources, who }, { body: { settings, ...adoption } }) => ({
    status: 201,
    body: adopted({ sources, settings, adoption: { ...adoption, who } }),
  }),
});

export const revertSettings = endpoint({
  method: 'post',
  path: '/api/settings/revert',
  summary: 'Makes the settings of an earlier version the next version',
  role: 'engineer',
  body: z
    .strictObject({ to: z.number().int().min(1), ...told, why: told.why.optional() })
    .meta({ id: 'SettingsReversal' }),
  success: { 201: 'Adopted' },
  answer: Adopted,
  problems: ['EDITED_MEANWHILE', 'NOT_FOUND'],
  handle({ sources, who }, { body: { to, why, ...rest } }) {
    const tuning = tuningOf(sources);
    const old = tuning.versions().find(({ version }) => version === to);
    if (old === undefined) throw new AppError('NOT_FOUND', `there is no version ${to} of the settings`);
    const adoption = { ...rest, who, why: why ?? `back to version ${to}` };
    return { status: 201, body: adopted({ sources, settings: old.settings, adoption }) };
  },
});

export const settingsSubjects = endpoint({
  method: 'get',
  path: '/api/settings/subjects',
  summary: 'Powders that other values can be set for: those of the plant file and those that were sprayed',
  role: 'fitter',
  success: { 200: 'The powders' },
  answer: z.strictObject({ powders: z.array(z.string()) }),
  problems: ['NOT_FOUND'],
  handle: ({ sources }) => ok({ powders: [...tuningOf(sources).powders()] }),
});

export const settingsConsequences = endpoint({
  method: 'post',
  path: '/api/settings/consequences',
  summary: 'What follows from settings, in words: when a ramp or a step would be seen; changes nothing',
  role: 'fitter',
  body: z.strictObject({ settings: Settings }).meta({ id: 'SettingsToTry' }),
  success: { 200: 'A sentence a setting' },
  answer: z.array(z.strictObject({ setting: z.string(), text: z.string() })),
  problems: [],
  handle({ sources }, { body: { settings } }) {
    const { overrides: _overrides, ...site } = settings;
    return { ...ok([...consequences(site, hallFigures(sources.views()))]), changed: false };
  },
});

const Shown = z
  .strictObject({
    setting: z.string().nullable().meta({ description: 'The setting that it stands behind; null for none' }),
    name: z.string(),
    value: z.number(),
    unit: z.string(),
    what: z.string(),
    follows: z.boolean().meta({ description: 'It moves with the setting' }),
    source: z.string(),
  })
  .meta({ id: 'StatisticalParameter' });
export type StatisticalParameter = z.infer<typeof Shown>;

/** The statistics behind settings; read only. */
export const settingsParameters = endpoint({
  method: 'post',
  path: '/api/settings/parameters',
  summary:
    'The statistical parameters behind settings: limits in deviations, run lengths and shares, learning, priors; changes nothing',
  role: 'fitter',
  body: z.strictObject({
    settings: Settings.optional().meta({ description: 'Default: those that hold' }),
    gun: z.string().max(40).optional().meta({ description: 'With the overrides of this gun' }),
  }),
  success: { 200: 'The parameters, with unit, what each does, and its source' },
  answer: z.array(Shown),
  problems: ['NOT_FOUND'],
  handle({ sources }, { body: { settings, gun = null } }) {
    const held = settings ?? tuningOf(sources).versions().at(-1)!.settings;
    return { ...ok(parameters(held, gun, hallFigures(sources.views()))), changed: false };
  },
});
