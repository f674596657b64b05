/**
 * ln of the flow in dm3/s ANR through a restriction of unit conductance (ISO 6358-1, 293.15 K).
 *
 * @param upstreamBar absolute pressure before it
 * @param downstreamBar absolute pressure after it
 * @param critical critical pressure ratio b
 * @example
 * logUnitFlow(4, 1, 0.4); // 1.3862943611198906
 */
export function logUnitFlow(upstreamBar: number, downstreamBar: number, critical: number): number {
  const ratio = downstreamBar / upstreamBar;
  if (ratio <= critical) return Math.log(upstreamBar);
  const part = (Math.min(ratio, 0.999) - critical) / (1 - critical);
  return Math.log(upstreamBar) + 0.5 * Math.log(Math.max(1 - part * part, 1e-4));
}
