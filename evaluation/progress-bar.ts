/** Characters of the bar. Source: own choice, because the line must fit a terminal of 80. */
const CELLS = 30;

/**
 * A progress bar of one line.
 *
 * @param elapsedMs since the work began: what is left is told from it once something is done
 * @example
 * progressBar(12, 48, 60_000); // '[########----------------------] 12 of 48, about 3 min left'
 */
export function progressBar(done: number, all: number, elapsedMs: number): string {
  const filled = Math.round((CELLS * done) / all);
  const bar = `[${'#'.repeat(filled)}${'-'.repeat(CELLS - filled)}] ${done} of ${all}`;
  if (done === 0 || done === all) return bar;
  const leftMs = (elapsedMs / done) * (all - done);
  const left = leftMs < 90_000 ? `${Math.ceil(leftMs / 1000)} s` : `${Math.round(leftMs / 60_000)} min`;
  return `${bar}, about ${left} left`;
}
