const NNBSP = '\u202f';

/** Age in one figure: "4 s", "12 min", "5 h", "3 d". Below a minute in seconds; never rounded up to the next unit. */
export function age(ms: number): string {
  const seconds = Math.floor(Math.max(0, ms) / 1000);
  if (seconds < 60) return `${seconds}${NNBSP}s`;
  if (seconds < 3600) return `${Math.floor(seconds / 60)}${NNBSP}min`;
  if (seconds < 48 * 3600) return `${Math.floor(seconds / 3600)}${NNBSP}h`;
  return `${Math.floor(seconds / 86_400)}${NNBSP}d`;
}
