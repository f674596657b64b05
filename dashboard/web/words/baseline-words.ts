import { powderWord } from '../../../collector/contract/powder-word.ts';
import type { Site } from '../../server/endpoints/site.ts';

/** A powder as people say it, also where none was read. */
export function powderName(powder: string, { powders }: Pick<Site, 'powders'>): string {
  return powder === '' ? 'powder not read' : powderWord(powder, powders);
}

/** The powder that is meant by what somebody typed, its name as shown or its id; what is neither stays, for a powder still to come. */
export function powderMeant(typed: string, site: Pick<Site, 'powders'>): string {
  const text = typed.trim();
  return site.powders.find(({ id }) => powderName(id, site) === text)?.id ?? text;
}

/** Why a gun has no curve. */
export const LACKING = {
  'no-runs': 'This gun has not sprayed yet: there is nothing to learn from.',
  'no-output':
    'Nothing here tells the output apart from the air, so there is no pump curve: the powder output is not measured or set, or it is computed from the air itself.',
  learning: 'The curve is still being learnt: too little was sprayed until now.',
} as const;

/** How much of something is borrowed from the other guns. */
export function borrowedWord(share: number): string {
  if (share > 0.7) return 'mostly borrowed from the other guns';
  if (share > 0.3) return 'partly borrowed from the other guns';
  return 'known from this gun itself';
}
