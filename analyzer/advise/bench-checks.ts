import type { BenchCheck } from '../views.ts';

/** How each part is checked by hand and judged. Source: handbook section 2, common practice. */
export const BENCH_CHECKS: Readonly<Record<string, BenchCheck>> = {
  'pump-insert': {
    part: 'pump-insert',
    title: 'Wear gauge in the pump insert',
    steps: [
      'Take the insert out and wipe it.',
      'Put the go/no-go gauge in without force.',
      'New: it stands off about 25 mm. Worn: it enters to its shoulder.',
    ],
  },
  'pump-seals': {
    part: 'pump-seals',
    title: 'Leak test of the pump',
    steps: [
      'Look at the O-rings and the base gasket: cuts, flats, powder behind them.',
      'With air on and hands clear, listen and feel for escaping air at the joints.',
      'A ring that does not grip its groove is to be replaced.',
    ],
  },
  'gun-seals': {
    part: 'gun-seals',
    title: 'Hose pull at the gun’s base',
    steps: [
      'Pull at the hose without pressing its release collar.',
      'Comes out: the O-rings are worn. Holds: they are good.',
    ],
  },
  'conveying-filter': {
    part: 'conveying-filter',
    title: 'Blow through the conveying filter',
    steps: [
      'Disconnect it and blow through it away from people.',
      'Hard to blow through, oily or wet: change it and look at the air supply.',
    ],
  },
  'supplementary-filter': {
    part: 'supplementary-filter',
    title: 'Blow through the supplementary filter',
    steps: [
      'Disconnect it and blow through it away from people.',
      'Hard to blow through, oily or wet: change it and look at the air supply.',
    ],
  },
  'fluidizing-ring': {
    part: 'fluidizing-ring',
    title: 'Look at the fluidizing',
    steps: [
      'Look at the powder surface: even and gently boiling is good.',
      'Dead spots or geysers: the ring is loaded.',
    ],
  },
  'inlet-filter': {
    part: 'inlet-filter',
    title: 'Colour of the inlet filter',
    steps: ['Look at the element through its bowl.', 'Discoloured or wet: change it, drain the bowl.'],
  },
  'powder-hose': {
    part: 'powder-hose',
    title: 'Look at and feel the hose',
    steps: [
      'Feel the bend next to the pump: flat, thin or hard places.',
      'Look for kinks along its way; blow it through away from people.',
    ],
  },
  'gun-tube': {
    part: 'gun-tube',
    title: 'Look through the gun tube',
    steps: ['Take it out and look through: powder built up where it turns is to be cleaned off.'],
  },
};
