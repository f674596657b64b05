/** What a peer that means ill does, as `attack-child.ts` knows it. */
export const ATTACKS = [
  'rubbish-new-topics',
  'rubbish-new-clients',
  'tiny-refused',
  'tiny-refused-50-clients',
  'tiny-unknown-topics',
  'foreign',
  'retained-flood',
  'connects',
  'connects-with-wills',
  'half-open',
  'oversized',
  'bad-connects',
  'subscribes',
  'slow-readers',
  'partial-packets',
] as const;

export type Attack = (typeof ATTACKS)[number];
