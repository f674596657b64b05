import type { Settings } from '../../collector/contract/index.ts';
import type { SiteHistory } from './history.ts';
import type { SecondThread } from './second-thread.ts';
import type { Span, Study } from './study.ts';
import { type ManyProgress, studyAll } from './trade-off.ts';

/** Longest wait for news of the other thread, ms. Source: own choice, as often as progress is told. */
const WAIT_MS = 100;
/** Share of the settings that the other thread gets: it begins later. Source: own choice. */
const OTHERS = 0.45;

/**
 * `studyAll` on two threads, with the same studies; on this one alone where there is no other, or where settings have too much in common.
 *
 * @returns a generator of progress; leaving it ends the work of both
 */
export async function* studyOnTwo(
  second: SecondThread | null,
  history: SiteHistory,
  settings: readonly Settings[],
  span: Span,
): AsyncGenerator<ManyProgress, Study[]> {
  const [own, others] = partsOf(settings);
  if (second === null || others.length === 0) return yield* studyAll(history, settings, span);
  const at = (places: readonly number[]): Settings[] => places.map((place) => settings[place]!);
  const shared = second.handOver(history);
  const asked = second.ask(at(others), span);
  const studies: (Study | null)[] = settings.map(() => null);
  let done = 0;
  const take = (places: readonly number[], known: readonly (Study | null)[]): void => {
    for (const [index, study] of known.entries()) if (study !== null) studies[places[index]!] = study;
  };
  const progress = (): ManyProgress => {
    take(others, asked.studies);
    return { share: (done * own.length + asked.share * others.length) / settings.length, studies };
  };
  try {
    for (const steps = studyAll(shared, at(own), span); ; ) {
      const step = steps.next();
      take(own, step.done ? step.value : step.value.studies);
      done = step.done ? 1 : step.value.share;
      yield progress();
      if (step.done) break;
    }
    while (!asked.isDone) {
      await asked.news(WAIT_MS);
      yield progress();
    }
    take(others, asked.studies);
    return studies as Study[];
  } finally {
    asked.cancel();
  }
}

/**
 * Places of settings, shared out so that those which decide alike for long stay together: what decides whether steps are looked at is, first of
 * all, how many false alarms are accepted. The other thread gets those that accept the most.
 */
export function partsOf(settings: readonly Settings[]): [number[], number[]] {
  const levels = new Map<number, number[]>();
  for (const [place, { falseAlarmsPerGunYear }] of settings.entries())
    levels.set(falseAlarmsPerGunYear, [...(levels.get(falseAlarmsPerGunYear) ?? []), place]);
  const others: number[] = [];
  for (const [, places] of [...levels].sort(([left], [right]) => right - left)) {
    if (others.length + places.length > OTHERS * settings.length) break;
    others.push(...places);
  }
  return [settings.map((_, place) => place).filter((place) => !others.includes(place)), others.sort((a, b) => a - b)];
}
