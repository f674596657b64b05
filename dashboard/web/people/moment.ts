import { wall } from '../link/live.ts';
import { dayAndClock } from '../words/site-time.ts';

/** A time of the API in the plant's words; as it came while the plant is not known yet. */
export function moment(iso: string): string {
  const site = wall.value?.site;
  return site ? dayAndClock(Date.parse(iso), site) : iso;
}
