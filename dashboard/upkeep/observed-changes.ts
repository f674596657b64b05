import { type ShiftCalendar, USUAL_SPAN_MS, usualColourChanges } from '../../analyzer/index.ts';
import type { Plant } from '../../collector/contract/index.ts';
import type { Store } from '../../collector/index.ts';

/** Weekly colour changes as the spray runs up to `now` show them. */
export function observedColourChanges(store: Store, plant: Plant, now: number): ShiftCalendar['colourChanges'] {
  const changes: number[] = [];
  const worked: number[] = [];
  for (const { id } of plant.guns) {
    const { length, columns, powders } = store.runs.load(id, now - USUAL_SPAN_MS, now);
    const { start, powder } = columns;
    let before: string | null = null;
    let lastWorked = Number.NEGATIVE_INFINITY;
    for (let row = 0; row < length; row++) {
      if (start[row]! - lastWorked > 3_600_000) {
        lastWorked = start[row]!;
        worked.push(lastWorked);
      }
      const one = powders[powder[row]!];
      if (one === undefined) continue;
      if (before !== null && one !== before) changes.push(start[row]!);
      before = one;
    }
  }
  return usualColourChanges(changes, worked, plant.site.timezone);
}
