import type { CONDITION_STATES, ConditionState } from '../collector/contract/index.ts';
import { CATEGORIES } from '../collector/contract/index.ts';
import { excessAirOf } from './baseline/excess-air.ts';
import { insertHours } from './baseline/gun-memory.ts';
import { usualOutput } from './baseline/usual-output.ts';
import { wearLearning, wearState } from './diagnose/judge-wear.ts';
import { learntWorn } from './diagnose/learnt-worn.ts';
import { sightOf } from './diagnose/sight.ts';
import type { Bench } from './diagnose/site-view.ts';
import { remainingLife } from './forecast/remaining-life.ts';
import type { PipelineState } from './pipeline-state.ts';
import { benchOf } from './pipeline-tick.ts';
import type { SiteContext } from './site.ts';
import type { GunView } from './views.ts';

type State = (typeof CONDITION_STATES)[number];

/** What screens show of every gun of the plant, in the plant's order. */
export function gunViews(context: SiteContext, state: PipelineState): GunView[] {
  return context.plant.guns.map(({ id, name }) => gunView(context, state, id, name ?? id));
}

function gunView(context: SiteContext, state: PipelineState, id: string, name: string): GunView {
  const bench = benchOf(context, state, id, state.time, []);
  const { memory } = bench;
  const lacking = wearLearning(bench);
  const wear = lacking === null && memory.source !== 'coupled' ? wearState(bench) : null;
  const open = state.book.open.filter((finding) => finding.gun === id || finding.guns?.includes(id));
  const worst: ConditionState | undefined = CATEGORIES.find((category) =>
    open.some((finding) => finding.category === category),
  );
  const condition: State = worst ?? (lacking === null || memory.source === 'coupled' ? 'good' : 'learning');
  const excess = wear?.excess;
  const way = wear?.remaining() ?? null;
  const at = (z: number): number => Math.expm1(excess!.total().log + z * excess!.total().sd);
  const limit = wear === null ? bench.tunables.changeLimitExcessAir : Math.exp(wear.limit.log);
  return {
    id,
    name,
    state: condition,
    learning: lacking === null || memory.source === 'coupled' ? null : { signal: 'pumping effect', ...lacking },
    powder: memory.powder === '' ? null : memory.powder,
    usualOutput: wear === null ? null : Math.exp(wear.output),
    neededAir: excess === undefined ? null : excess.neededAir,
    airNeeds: wear === null || memory.source === 'coupled' ? [] : airNeeds(bench),
    actualAir: excess === undefined ? null : excess.neededAir * Math.exp(excess.total().log),
    excessAir: excess === undefined ? null : { p10: at(-1.2816), p50: at(0), p90: at(1.2816) },
    changeLimit: limit,
    wearLeft: excess === undefined ? null : Math.min(1, Math.max(0, 1 - Math.expm1(excess.wear) / limit)),
    remaining: way === null ? null : remainingLife(way),
    insertSince: memory.insert.since,
    insertLogged: memory.insert.logged,
    sprayHoursSinceInsert: memory.insert.since === null ? null : insertHours(memory),
    kilogramsSinceInsert: memory.insert.since === null ? null : memory.insert.kilograms,
    sprayHoursPerShift: memory.shift.days >= 1 ? memory.shift.usual : null,
    asOf: memory.lastEnd > 0 ? memory.lastEnd : null,
    learntFrom: memory.commissioned?.time ?? null,
    wornDoubt: learntWorn(bench)?.sentence ?? null,
    silentChanges: memory.returns.map(({ before, after, ...change }) => ({
      ...change,
      before: Math.expm1(before),
      after: Math.expm1(after),
    })),
    sight: sightOf(bench),
  };
}

/** What a new insert needs with each powder that this gun has sprayed, at its usual output of that powder. */
function airNeeds({ memory, pool }: Bench): GunView['airNeeds'] {
  return Object.entries(memory.usual).flatMap(([powder, sprayed]) => {
    const output = usualOutput(sprayed);
    const need = output === null ? null : excessAirOf(pool, memory.id, powder, output);
    if (output === null || need === null) return [];
    return [{ powder, usualOutput: Math.exp(output), neededAir: need.neededAir, elasticity: need.elasticity }];
  });
}
