import { describe, expect, it } from 'vitest';
import { CAUTIONS } from '../../../analyzer/advise/cautions.ts';

const text = CAUTIONS.join(' ');

// Source: handbook section 6, sentence by sentence.
describe('cautions', () => {
  it.each([
    ['defer to local codes, the manual and trained persons', /local codes.*manual.*trained/i],
    ['say that the tool only advises', /only advises/],
    ['have high voltage switched off and discharged, gun and operator earthed', /discharge high voltage.*earthed/i],
    [
      'have the supply locked out and all pressure released before anything is opened',
      /lock out.*release all air pressure before opening/i,
    ],
    [
      'warn that powder clouds and deposits ignite',
      /powder clouds and deposits can ignite.*ventilation on, no ignition sources/i,
    ],
    ['ask for cleaning equipment rated for combustible dust', /rated for combustible dust/],
    ['protect breathing and eyes', /breathing and eyes/i],
    [
      'have parts blown through away from people and never into a cloud',
      /away from people and never into a powder cloud/,
    ],
    ['keep the hand earthed through its glove', /gloves must not insulate/i],
    ['have conductive seals and hoses replaced only by their like', /conductive seals and hoses only by their like/i],
    [
      'keep phones and tablets out of booths and classified areas',
      /no phone or tablet inside a booth or classified area/i,
    ],
  ])('%s', (_what, words) => {
    expect(text).toMatch(words);
  });
});
