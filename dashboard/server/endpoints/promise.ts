import { isDeepStrictEqual } from 'node:util';
import { z } from 'zod';
import { DesignedPromise, designedPromise, ObservedPromise, SimulatedPromise } from '../../../analyzer/index.ts';
import { AppError, Settings, settingsFor } from '../../../collector/contract/index.ts';
import { type Endpoint, endpoint, ok } from '../endpoint.ts';
import type { PromiseSimulation, PromiseSource } from '../promise-source.ts';
import type { DashboardSources } from '../sources.ts';
import { tuningOf } from './settings.ts';

const Simulation = z
  .strictObject({
    state: z.enum(['running', 'done', 'refused']),
    share: z.number().meta({ description: 'How far it has come, 0 to 1' }),
    answer: SimulatedPromise.nullable(),
    fault: z.string().nullable(),
  })
  .meta({ id: 'PromiseSimulation' });

const Answer = z
  .strictObject({
    accepted: z.number().meta({ description: 'Findings against a part per gun and year that the settings accept' }),
    designed: DesignedPromise.meta({ description: 'By run-length theory, for these settings' }),
    simulated: Simulation.nullable().meta({
      description: 'On simulated healthy guns with these settings; null where that was not asked for since the start',
    }),
    observed: ObservedPromise.meta({
      description: 'Judged findings over the time for which guns were watched, whatever settings held then',
    }),
  })
  .meta({ id: 'Promise' });
export type PromiseAnswer = z.infer<typeof Answer>;

function promiseOf({ promise }: DashboardSources): PromiseSource {
  if (promise === undefined) throw new AppError('NOT_FOUND', 'no rate of false findings is kept here');
  return promise;
}

function shown({ state, share, answer, fault }: PromiseSimulation): z.infer<typeof Simulation> {
  return { state, share, answer, fault: fault?.message ?? null };
}

function figures(source: PromiseSource, settings: Settings): PromiseAnswer {
  const site = settingsFor(settings, {});
  const simulation = source.simulation();
  return {
    accepted: site.falseAlarmsPerGunYear,
    designed: designedPromise(site),
    simulated: simulation !== null && isDeepStrictEqual(simulation.settings, settings) ? shown(simulation) : null,
    observed: source.observed(),
  };
}

const readPromise = endpoint({
  method: 'get',
  path: '/api/promise',
  summary: 'The rate of false findings three ways, with the settings that hold: designed, simulated, observed here',
  role: 'fitter',
  success: { 200: 'The three, apart from each other' },
  answer: Answer,
  problems: ['NOT_FOUND'],
  handle: ({ sources }) => ok(figures(promiseOf(sources), tuningOf(sources).versions().at(-1)!.settings)),
});

const tryPromise = endpoint({
  method: 'post',
  path: '/api/promise',
  summary: 'The same with other settings; changes nothing',
  role: 'fitter',
  body: z.strictObject({ settings: Settings }).meta({ id: 'SettingsToPromise' }),
  success: { 200: 'The three, apart from each other' },
  answer: Answer,
  problems: ['NOT_FOUND'],
  handle: ({ sources }, { body: { settings } }) => ({ ...ok(figures(promiseOf(sources), settings)), changed: false }),
});

const simulatePromise = endpoint({
  method: 'post',
  path: '/api/promise/simulation',
  summary: 'Simulates healthy guns with settings, beside everything else; changes nothing',
  role: 'fitter',
  body: z
    .strictObject({
      settings: Settings,
      gunYears: z.number().min(1).max(400).default(40).meta({ description: 'At least so many gun-years' }),
    })
    .meta({ id: 'PromiseToSimulate' }),
  success: { 202: 'Under way' },
  answer: Simulation,
  problems: ['NOT_FOUND'],
  handle({ sources }, { body: { settings, gunYears } }) {
    return { status: 202, body: shown(promiseOf(sources).simulate(settings, gunYears)), changed: false };
  },
});

const cancelSimulation = endpoint({
  method: 'delete',
  path: '/api/promise/simulation',
  summary: 'Ends the simulation that is under way',
  role: 'fitter',
  success: { 200: 'Ended, or none was under way' },
  answer: z.strictObject({}),
  problems: ['NOT_FOUND'],
  handle({ sources }) {
    promiseOf(sources).cancel();
    return { ...ok({}), changed: false };
  },
});

/** The addresses of the rate of false findings. */
export const PROMISE_ENDPOINTS: readonly Endpoint[] = [readPromise, tryPromise, simulatePromise, cancelSimulation];
