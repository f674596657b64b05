import type { PartId } from '../../collector/contract/index.ts';
import type { BenchCheck } from '../views.ts';

const BLOW_TEST = {
  steps: [
    'Disconnect it and blow through it away from people.',
    'Hard to blow through, oily or wet: change it and look at the air supply.',
  ],
  judge: {
    good: 'blows through freely, dry and clean',
    worn: 'resists, or is stained',
    failed: 'nearly blocked, wet or oily',
  },
  measure: null,
} as const;

const check = (part: PartId, title: string, rest: Omit<BenchCheck, 'part' | 'title'>): BenchCheck => ({
  part,
  title,
  ...rest,
  steps: [...rest.steps],
});

/** How each part is checked by hand and judged. Source: handbook of the trade, section 2, common practice. */
export const BENCH_CHECKS: Readonly<Record<PartId, BenchCheck>> = {
  'pump-insert': check('pump-insert', 'Wear gauge in the pump insert', {
    steps: [
      'Take the insert out and wipe it.',
      'Put the go/no-go gauge in without force.',
      'New: it stands off about 25 mm. Worn: it enters to its shoulder.',
    ],
    judge: {
      good: 'the gauge stands off clearly',
      worn: 'the gauge enters to its shoulder, or nearly',
      failed: 'torn, or the throat is no longer round',
    },
    measure: { what: 'stand-off of the gauge', unit: 'mm', new: 25, worn: 0 },
  }),
  'pump-seals': check('pump-seals', 'Leak test of the pump', {
    steps: [
      'Look at the O-rings and the base gasket: cuts, flats, powder behind them.',
      'With air on and hands clear, listen and feel for escaping air at the joints.',
      'A ring that does not grip its groove is to be replaced.',
    ],
    judge: { good: 'round, whole, no air heard', worn: 'flats or a loose grip', failed: 'cut, or air escapes' },
    measure: null,
  }),
  'gun-seals': check('gun-seals', 'Hose pull at the gun’s base', {
    steps: [
      'Pull at the hose without pressing its release collar.',
      'Comes out: the O-rings are worn. Holds: they are good.',
    ],
    judge: { good: 'the hose holds', worn: 'the hose gives', failed: 'the hose comes out' },
    measure: null,
  }),
  'conveying-filter': check('conveying-filter', 'Blow through the conveying filter', {
    ...BLOW_TEST,
    steps: [...BLOW_TEST.steps],
  }),
  'supplementary-filter': check('supplementary-filter', 'Blow through the supplementary filter', {
    ...BLOW_TEST,
    steps: [...BLOW_TEST.steps],
  }),
  'fluidizing-ring': check('fluidizing-ring', 'Look at the fluidizing', {
    steps: [
      'Look at the powder surface: even and gently boiling is good.',
      'Dead spots or geysers: the ring is loaded.',
    ],
    judge: { good: 'even all over', worn: 'dead spots or geysers', failed: 'does not fluidize' },
    measure: null,
  }),
  'inlet-filter': check('inlet-filter', 'Colour of the inlet filter', {
    steps: ['Look at the element through its bowl.', 'Discoloured or wet: change it, drain the bowl.'],
    judge: { good: 'as when new, bowl dry', worn: 'discoloured', failed: 'wet, oily or broken' },
    measure: null,
  }),
  'powder-hose': check('powder-hose', 'Look at and feel the hose', {
    steps: [
      'Feel the bend next to the pump: flat, thin or hard places.',
      'Look for kinks along its way; blow it through away from people.',
    ],
    judge: { good: 'round and soft all along', worn: 'thin or hard at the bend', failed: 'kinked, split or clogged' },
    measure: null,
  }),
  'gun-tube': check('gun-tube', 'Look through the gun tube', {
    steps: ['Take it out and look through: powder built up where it turns is to be cleaned off.'],
    judge: { good: 'clear', worn: 'powder built up, or worn thin', failed: 'blocked or cracked' },
    measure: null,
  }),
  'electrode-holder': check('electrode-holder', 'Look at the electrode holder and its splitter', {
    steps: [
      'With high voltage off and discharged, take the nozzle off and look at the splitter and the electrode.',
      'Grooves in the splitter or a bent electrode: change the holder.',
      'The air does not show it: look at the pattern on a test panel too.',
    ],
    judge: { good: 'edges sharp, electrode straight', worn: 'grooved splitter', failed: 'broken, or electrode bent' },
    measure: null,
  }),
  nozzle: check('nozzle', 'Look at the pattern and the nozzle’s opening', {
    steps: [
      'Spray a test panel: a pattern that is heavy at its edges comes from a worn opening.',
      'Take the nozzle off and look at its opening against a new one.',
      'The air does not show it: go by pattern and opening.',
    ],
    judge: { good: 'even pattern, opening as new', worn: 'heavy edges, opening grown', failed: 'cracked or torn' },
    measure: null,
  }),
};
