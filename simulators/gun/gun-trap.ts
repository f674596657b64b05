/** Normal things that happen to one gun and look like faults. */
export type GunTrapKind =
  | 'hose-change'
  | 'nozzle-exchange'
  | 'sensor-exchange'
  | 'clock-offset'
  | 'more-powder'
  | 'regulator-stop';

/**
 * One of them, planned. `size`: hose: change of back pressure, share; motive nozzle: change of conductance, share; clock: s;
 * more powder: share more wanted; regulator: how far below the usual need its stop lies, share. Exchanges have `end` = `start`.
 */
export interface GunTrap {
  readonly kind: GunTrapKind;
  readonly gun: number;
  readonly start: number;
  readonly end: number;
  readonly size: number;
}

/** The trap of a kind that holds at a time, if any. */
export function trapAt(traps: readonly GunTrap[], kind: GunTrapKind, timeMs: number): GunTrap | undefined {
  return traps.find((trap) => trap.kind === kind && timeMs >= trap.start && timeMs < trap.end);
}
