/** Physical dimensions that the channels of the contract have. */
export type Dimension = 'pressure' | 'volume-flow' | 'temperature' | 'mass-flow' | 'mass';
