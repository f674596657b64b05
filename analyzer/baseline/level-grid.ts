/** Levels of output (ln) in equal steps, and what blurs beliefs over them. */
export const LEVEL_STEP = 0.02;
/** Levels either way of what is expected. Source: handbook section 4, ±25 % of air times the elasticity, and the largest leaks below. */
export const REACH = 30;
export const LEVELS = 2 * REACH + 1;
/** Weights of a normal spread over so many levels either way, summing to 1. */
export const bell = (reach: number, sd: number): number[] => {
  const weights = Array.from({ length: 2 * reach + 1 }, (_, i) =>
    Math.exp(-0.5 * (((i - reach) * LEVEL_STEP) / sd) ** 2),
  );
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  return weights.map((weight) => weight / total);
};
/** Room for what is reckoned of one blur: nothing of it outlasts a call. */
const weights = new Float64Array(LEVELS);

/** target += factor · source, each level of it spread about where it was; what would leave the grid stays at its edge. */
export function addBlurred(target: number[], source: ArrayLike<number>, factor: number, blur: readonly number[]): void {
  const reach = (blur.length - 1) / 2;
  for (let i = 0; i < LEVELS; i++) weights[i] = factor * source[i]!;
  // Each level gathers from below upwards what comes to it: its sum stays at hand meanwhile.
  for (let to = 1; to < LEVELS - 1; to++) {
    let sum = target[to]!;
    const last = Math.min(LEVELS - 1, to + reach);
    for (let i = Math.max(0, to - reach); i <= last; i++) sum += weights[i]! * blur[to - i + reach]!;
    target[to] = sum;
  }
  for (let i = 0; i <= reach; i++) for (let k = 0; k <= reach - i; k++) target[0] = target[0]! + weights[i]! * blur[k]!;
  for (let i = LEVELS - 1 - reach; i < LEVELS; i++)
    for (let k = LEVELS - 1 - i + reach; k < blur.length; k++)
      target[LEVELS - 1] = target[LEVELS - 1]! + weights[i]! * blur[k]!;
}
