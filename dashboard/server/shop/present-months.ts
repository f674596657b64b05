import type { Plant } from '../../../collector/contract/index.ts';

/** Months before the last one that are shown by default. Source: own choice, a season. */
const MONTHS_BACK = 3;

/** First and last month asked for, `YYYY-MM`; by default the present one on the shop's calendar and the three before it. */
export function presentMonths(
  { site }: Plant,
  now: number,
  asked: { readonly from?: string | undefined; readonly to?: string | undefined },
): { from: string; to: string } {
  const parts = new Intl.DateTimeFormat('en', {
    timeZone: site.timezone,
    year: 'numeric',
    month: '2-digit',
  }).formatToParts(now);
  const part = (type: string): string => parts.find((one) => one.type === type)?.value ?? '';
  const to = asked.to ?? `${part('year')}-${part('month')}`;
  return { from: asked.from ?? monthBefore(to, MONTHS_BACK), to };
}

/** The month so many before another. */
export function monthBefore(month: string, back: number): string {
  const [year = 0, of = 1] = month.split('-').map(Number);
  return new Date(Date.UTC(year, of - 1 - back, 1)).toISOString().slice(0, 7);
}
