/** A powder as people say it. */
export const powderName = (powder: string): string => (powder === '' ? 'powder not read' : powder);

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
