import type { Plant } from '../../../collector/contract/index.ts';
import { calendarText } from './ical.ts';
import { planEvents } from './plan-events.ts';
import type { UpkeepSource } from './upkeep-source.ts';

/** The plan as an iCalendar stream, with work that is due up to `until`, epoch ms. */
export function planFeedOf(upkeep: UpkeepSource, { site }: Plant, now: number, until: number): string {
  return calendarText(
    `Maintenance ${site.name ?? site.id}`,
    site.timezone,
    planEvents(upkeep.loop(), site, now, until),
  );
}
