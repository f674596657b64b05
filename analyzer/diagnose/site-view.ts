import type { DismissedChange, Finding, Gun, Plant, Tunables } from '../../collector/contract/index.ts';
import type { GunMemory } from '../baseline/gun-memory.ts';
import type { PumpPool } from '../baseline/pump-pool.ts';
import type { FindingBook } from './finding-book.ts';

/** What a judge needs to look at one gun at one time. */
export interface Bench {
  readonly plant: Plant;
  readonly gun: Gun;
  readonly memory: GunMemory;
  readonly pool: PumpPool;
  /** All guns of the plant, for what several share. */
  readonly guns: Readonly<Record<string, GunMemory>>;
  readonly book: FindingBook;
  /** For this gun, the powder in use and its insert. */
  readonly tunables: Tunables;
  /** The same for another part: narrowest wins, gun, then powder, then part (contract section 8). */
  readonly tunablesOf: (part: string) => Tunables;
  readonly now: number;
  /** Suspected changes of which people said that they never were. */
  readonly dismissals: readonly DismissedChange[];
  /** Snapshots that became due; null where nobody wants them. */
  readonly told: Finding[] | null;
  /**
   * Where several settings are tried together: the same look for each of them, with its own tunables and a book for what it alone decides.
   * What they decide about beliefs they have to agree on, see `agree`.
   */
  readonly apart?: readonly Bench[];
}
