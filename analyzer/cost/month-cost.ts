import type { CostFigures, Losses } from './cost-figures.ts';
import type { MonthAir } from './excess-volume.ts';
import type { Timeliness } from './timeliness.ts';

/** Cost of wear of one gun in one month. Money is in the shop's currency, null where its figures do not say. */
export interface MonthCost {
  readonly month: string;
  readonly gun: string;
  readonly sprayHours: number;
  /** Of these: spray hours whose excess air is known. */
  readonly judgedHours: number;
  /** Normal cubic metres; null where none could be judged. */
  readonly excessAirM3: number | null;
  readonly energyKwh: number | null;
  readonly airMoney: number | null;
  readonly early: number;
  readonly earlyMoney: number | null;
  readonly late: number;
  readonly lateMoney: number | null;
  readonly powderKilograms: number | null;
  readonly powderMoney: number | null;
  readonly rejects: number | null;
  readonly rejectMoney: number | null;
  /** Of all that has a price; null where nothing has. */
  readonly money: number | null;
}

/** Prices what wear took in a month. Excess air below 0 is noise about nothing and costs nothing. */
export function monthCost(
  gun: string,
  air: MonthAir,
  changes: Timeliness,
  losses: Losses | null,
  figures: CostFigures,
): MonthCost {
  const excessAirM3 = air.judgedHours > 0 ? Math.max(0, air.excessM3) : null;
  const energyKwh = excessAirM3 === null ? null : excessAirM3 * figures.specificEnergy;
  const powderKilograms = losses?.powderKilograms ?? null;
  const rejects = losses?.rejects ?? null;
  const airMoney = times(energyKwh, figures.energyPrice);
  const powderMoney = times(powderKilograms, figures.powderPrice);
  const rejectMoney = times(rejects, figures.rejectCost);
  return {
    month: air.month,
    gun,
    sprayHours: air.sprayHours,
    judgedHours: air.judgedHours,
    excessAirM3,
    energyKwh,
    airMoney,
    ...changes,
    powderKilograms,
    powderMoney,
    rejects,
    rejectMoney,
    money: sumKnown([
      airMoney,
      changes.early > 0 ? changes.earlyMoney : null,
      changes.late > 0 ? changes.lateMoney : null,
      powderMoney,
      rejectMoney,
    ]),
  };
}

/** Sums of rows; a sum of nothing known is null. */
export function totalCost(rows: readonly MonthCost[]): Omit<MonthCost, 'month' | 'gun'> {
  const sum = (field: Exclude<keyof MonthCost, 'month' | 'gun'>): number | null =>
    sumKnown(rows.map((row) => row[field]));
  return {
    sprayHours: sum('sprayHours') ?? 0,
    judgedHours: sum('judgedHours') ?? 0,
    excessAirM3: sum('excessAirM3'),
    energyKwh: sum('energyKwh'),
    airMoney: sum('airMoney'),
    early: sum('early') ?? 0,
    earlyMoney: sum('earlyMoney'),
    late: sum('late') ?? 0,
    lateMoney: sum('lateMoney'),
    powderKilograms: sum('powderKilograms'),
    powderMoney: sum('powderMoney'),
    rejects: sum('rejects'),
    rejectMoney: sum('rejectMoney'),
    money: sum('money'),
  };
}

/**
 * What a reader has to know first: the air is the small part.
 *
 * @param total from `totalCost`
 */
export function airIsSmall({ airMoney, money }: Pick<MonthCost, 'airMoney' | 'money'>): string {
  const small =
    'The air itself is the small part of what wear costs. Powder thrown past the part, rejects and unplanned stops cost many times more.';
  if (airMoney === null) return `${small} Its own cost needs a price of energy.`;
  if (money === null || money <= airMoney)
    return `${small} They are not in these figures yet: state them, by month and gun, to see the whole.`;
  const share = (100 * airMoney) / money;
  return `${small} Here it is ${share < 1 ? 'less than 1' : Math.round(share)} % of what has a price.`;
}

const times = (amount: number | null, price: number | null): number | null =>
  amount === null || price === null ? null : amount * price;

function sumKnown(values: readonly (number | null)[]): number | null {
  const known = values.filter((value) => value !== null);
  return known.length === 0 ? null : known.reduce((sum, value) => sum + value, 0);
}
