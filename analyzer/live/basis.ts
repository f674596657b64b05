import type { Plant } from '../../collector/contract/index.ts';
import type { States } from '../../collector/index.ts';
import { CUT_STATE_VERSION } from '../runs/cut-state.ts';
import { cutContexts } from '../runs/track.ts';
import type { LiveRecords } from './live-records.ts';

/** Raise when the hourly trace tells something else: it is computed anew then. */
const TRACE_VERSION = 1;

/** Key under which the store keeps what all other states of the analyzer depend on. */
const BASIS_KEY = 'live-basis';

/** What the analyzer's kept states rest on: of another basis they are of no use. */
export interface Basis {
  readonly pipeline: number;
  readonly cut: number;
  readonly trace: number;
  readonly plant: string;
  /** What stage one rests on of the plant; folders of before do not have it. */
  readonly cutBy?: string;
  readonly seen: LiveRecords['seen'];
}

/** The basis of this program, but for what it has seen. */
export function basisOf(pipelineVersion: number, plant: Plant): Omit<Basis, 'seen'> {
  const cutBy = JSON.stringify([...cutContexts(plant)], (_, value) => (value instanceof Set ? [...value] : value));
  return { pipeline: pipelineVersion, cut: CUT_STATE_VERSION, trace: TRACE_VERSION, plant: judgedBy(plant), cutBy };
}

/** What findings follow from of a plant. Names, and the units of screens, are only shown: a gun that is called otherwise is judged as before. */
function judgedBy({ site, guns, air, powders }: Plant): string {
  const unnamed = <T extends { readonly name?: string | undefined }>({ name: _, ...rest }: T): Omit<T, 'name'> => rest;
  const { units: _, ...place } = unnamed(site);
  return JSON.stringify({
    site: place,
    guns: guns.map(unnamed),
    air: air.map(unnamed),
    powders: powders.map(unnamed),
  });
}

/** What was seen of the records when states were kept on the same basis; null where they rest on another. */
export function seenOn(
  states: Pick<States, 'get'>,
  { pipeline, cut, trace, plant }: Omit<Basis, 'seen'>,
): Basis['seen'] | null {
  const before = keptBasis(states);
  if (before?.pipeline !== pipeline || before.cut !== cut || before.trace !== trace) return null;
  // Folders of before hold the names as well.
  return judgedBy(JSON.parse(before.plant) as Plant) === plant ? before.seen : null;
}

/**
 * Whether states of stage one that were kept rest on this basis: of another version of stage two, or another time zone, they are as good, and
 * cutting years of readings anew is what takes the time.
 */
export function areCutsOf(states: Pick<States, 'get'>, { cut, cutBy }: Omit<Basis, 'seen'>): boolean {
  const before = keptBasis(states);
  return before?.cut === cut && before.cutBy === cutBy;
}

/** Whether states of stage one that were kept are of this program; what an older one kept is of no use. */
export function areCutsReadable(states: Pick<States, 'get'>): boolean {
  const before = keptBasis(states);
  return before === null || before.cut === CUT_STATE_VERSION;
}

function keptBasis(states: Pick<States, 'get'>): Basis | null {
  const bytes = states.get(BASIS_KEY);
  return bytes === null ? null : (JSON.parse(Buffer.from(bytes).toString('utf8')) as Basis);
}

export function keepBasis(states: Pick<States, 'put'>, basis: Basis): void {
  states.put(BASIS_KEY, Buffer.from(JSON.stringify(basis)));
}
