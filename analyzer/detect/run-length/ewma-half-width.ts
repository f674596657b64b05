/**
 * Half width of the EWMA's limits at a sample, standard deviations of one sample.
 *
 * @param settings lambda, limit L and whether limits vary
 * @param count samples so far, >= 1
 * Source: NIST/SEMATECH e-Handbook 6.3.2.4, exact variance factor 1 - (1 - lambda)^(2 count).
 * @example
 * ewmaHalfWidth({ lambda: 0.3, limit: 3, limits: 'varying' }, 1); // 0.9
 */
export function ewmaHalfWidth(
  { lambda, limit, limits }: { readonly lambda: number; readonly limit: number; readonly limits: 'fixed' | 'varying' },
  count: number,
): number {
  const settled = limit * Math.sqrt(lambda / (2 - lambda));
  return limits === 'fixed' ? settled : settled * Math.sqrt(1 - (1 - lambda) ** (2 * count));
}
