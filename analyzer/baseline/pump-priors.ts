/**
 * What is believed of guns and powders before a reading was seen. All in ln of output unless said.
 *
 * Sources: handbook where named; else own choice, wide enough that some days of readings overrule it.
 */
export const PRIORS = {
  /** ln of output (g/min) of a new gun at the reference flow, over plants. */
  level: { mean: 4.9, sd: 0.8 },
  /** Spread of new guns of one site about their mean. */
  gunLevel: 0.11,
  /** The same where the recipe is not read: what stands for it may be a third off. */
  unreadLevel: 0.3,
  /** d ln output / d ln conveying air at the reference flow: between about 1.1 and 3 for a pump past its threshold. */
  elasticity: { mean: 1.9, sd: 0.4 },
  gunElasticity: 0.15,
  /** The same where the output is a set value and teaches no slope. */
  setElasticity: 0.1,
  /** Bend beyond the threshold's own: saturation makes it negative. */
  bend: { mean: -0.4, sd: 0.7 },
  gunBend: 0.3,
  /** What threshold and bend do not hold of the curve's shape. */
  twist: { mean: 0, sd: 1.5 },
  /** ln output per m3/h of supplementary air beyond the usual: more back pressure in the hose, a little less suction; by how much is not learnt. */
  supplementary: { mean: -0.08, sd: 0.15 },
  /** Powders: handbook "needs can differ by ±25 %" of air, times the elasticity, taken as about two deviations. */
  powder: 0.22,
  /** What a powder does on one gun alone. */
  gunPowder: 0.025,
  /** Lots: handbook "±6 %" of air, uniform. */
  lot: 0.06,
  /**
   * Where no powder id is read, any pause may have brought another powder: spread of what they do, the chance for a pause of
   * that length, min. Source: own choice; a colour change takes a quarter of an hour, and hardly less than half of that.
   */
  hidden: { sd: 0.12, chance: 0.4, pauseMinutes: 8 },
  /** Chance that a campaign of a powder brings another lot. Source: own choice, lots that last some two weeks of work. */
  lotChange: 0.1,
  /** Chance that a box from another lot comes in the midst of a campaign, for each stretch that is looked at. Source: own choice, a twentieth of the above. */
  lotMidway: 0.005,
  lotSurety: Math.log(4),
  /**
   * ln odds at which a lot is taken in, the evidence that one in the midst of a campaign needs besides and the hours for which it is looked for, and
   * the ln odds at which none is believed. Source: own choice: 4 to 1; 1000 to 1, because wear that guns share also adds up; a shift; 1 to 10.
   */
  midwaySurety: 7,
  midwayHours: 12,
  lotDoubt: -2.4,
  /** A step of all guns of a line: its size, the ln odds at which it is taken in or given up, and how long it is looked for. */
  common: { sd: 0.1, surety: 7, doubt: -2, hours: 30 },
  /**
   * Loss per 100 kg at the reference velocity: 0.3 in some 50 spray hours at 150 g/min (handbook section 2's interval).
   * Linear, not in ln: a rate that was found small early must be able to grow.
   */
  rate: { mean: 0.067, sd: 0.04 },
  gunRate: 0.03,
  lifeRate: 0.025,
  /** Usual throughput, 100 kg an hour, and how much of a gun's own pace its inserts' lives follow: 0 lives alike in kilograms, 1 in hours. */
  pace: { usual: 0.1, share: 0.75 },
  /** How far one insert's wear strays from its rate over a usual life of 0.3, and how far the rate itself does. */
  wearStray: 0.03,
  rateStray: 0.02,
  usualLife: 0.3,
  /** Abrasiveness of a powder relative to the site's first. */
  abrasiveness: 0.4,
  /** Wear goes with velocity to this power. Source: own choice, midway between 1 (handbook) and 2.4 (metals, Finnie 1960). */
  velocityPower: 1.7,
  /** Loss of an insert of unknown age at the first reading: met at any time of its life, so uniform up to a usual change limit of 0.28, by its first two moments. */
  firstWear: { mean: 0.13, sd: 0.08 },
  /** Loss of a new insert: its own tolerance. */
  newWear: 0.02,
  /** Nuisances that come and go: a shift, a week, the whole site. Deviation and time constant in h. */
  shift: { sd: 0.02, hours: 8 },
  /** With a set output the air lags in notches: the operator's error is in the signal. */
  notch: { sd: 0.04, hours: 8 },
  /**
   * With a set output the air lags: an operator answers a loss when it shows in the finish, and a new insert when it gives too much. ln of
   * output that goes unanswered once the loss is larger, and how far that differs: what air that is follows from the curve. Source: own choice, some 5 % of
   * powder that nobody sees, half a notch of 4 % of air either way on a usual pump.
   */
  lag: { mean: 0.0475, sd: 0.023 },
  week: { sd: 0.014, hours: 120 },
  site: { sd: 0.015, hours: 20 },
  /** Error of a block that does not fall with its length. */
  block: 0.008,
  /** The same with a set output: what the operator lets pass before he turns a notch. */
  setBlock: 0.02,
  /** A recorded change of another part may move the level a little: a hose or nozzle more than seals that go back in. */
  exchange: 0.015,
  refit: 0.003,
} as const;
