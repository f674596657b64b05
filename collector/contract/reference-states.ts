/** Reference states in which a flow sensor may report normal volumes, contract section 2. */
export const REFERENCE_STATES = ['din1343', 'iso2533', 'iso8778', 'scfm68', 'scfm60'] as const;
export type ReferenceState = (typeof REFERENCE_STATES)[number];
