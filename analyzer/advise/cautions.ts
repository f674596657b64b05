/**
 * Shown wherever hands are sent to equipment. In general words; they defer to local codes, the equipment's own manual
 * and trained persons. Source: common practice; the frames are named in the last line.
 */
export const CAUTIONS: readonly string[] = [
  'Local codes, the equipment’s own manual and trained, authorised persons come first; this tool only advises.',
  'Switch off and discharge high voltage; keep gun and operator earthed.',
  'Stop and lock out the supply; release all air pressure before opening a pump, filter or hose.',
  'Powder clouds and deposits can ignite: ventilation on, no ignition sources, clean up with equipment rated for combustible dust.',
  'Protect breathing and eyes. Blow parts through away from people and never into a powder cloud.',
  'Gloves must not insulate the hand from an earthed gun. Refit conductive seals and hoses only by their like, so that earthing holds.',
  'No phone or tablet inside a booth or classified area.',
  'Published frames: NFPA 33 and NFPA 77, EN 50050-2, EN 16985, 29 CFR 1910.107 and 1910.147 (lockout).',
];
