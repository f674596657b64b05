/** The wearing parts of a gun and its pump, by the ids of the contract. */
export const PART_IDS = [
  'inlet-filter',
  'fluidizing-ring',
  'pump-seals',
  'pump-insert',
  'conveying-filter',
  'supplementary-filter',
  'powder-hose',
  'gun-seals',
  'gun-tube',
  'electrode-holder',
  'nozzle',
] as const;
export type PartId = (typeof PART_IDS)[number];

/** What was done to a part, as the maintenance log names it. */
export const ACTIONS = ['replaced', 'inspected', 'cleaned', 'refitted', 'adjusted'] as const;
export type Action = (typeof ACTIONS)[number];

/** What was found on the part taken out or looked at. */
export const FOUND = ['good', 'worn', 'failed'] as const;
export type Found = (typeof FOUND)[number];

export function isPartId(text: string): text is PartId {
  return (PART_IDS as readonly string[]).includes(text);
}
