/** When a gun's baseline began to be learnt anew, and how the gun stood then. */
export interface Commissioning {
  /** Epoch ms, and spray hours of the gun. */
  readonly time: number;
  readonly atHours: number;
  /** A change of the insert was logged just then. */
  readonly fresh: boolean;
  /** Spray hours since the insert's known change; null where there was none, or just then. */
  readonly insertHours: number | null;
  /** ln(1 + excess air) of the insert as believed until then, and its deviation; null where nothing was. */
  readonly wear: number | null;
  readonly wearSd: number | null;
}
