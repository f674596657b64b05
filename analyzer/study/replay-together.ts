import type { Settings } from '../../collector/contract/index.ts';
import { Parting } from '../diagnose/agree.ts';
import { emptyBook, type FindingBook } from '../diagnose/finding-book.ts';
import { sitePipeline } from '../pipeline.ts';
import type { PipelineState } from '../pipeline-state.ts';
import type { SiteContext } from '../site.ts';
import { copyAlike } from './copy-alike.ts';
import type { SiteHistory } from './history.ts';
import { asTaped, type ReplayedFindings, replayHistory, SLICE_MS, shiftHours, suspectedOf } from './replay-history.ts';

/** Slices after which settings that are still together remember where they are. Source: own choice, three weeks: copying a state takes as long as a day of it. */
const KEEP_SLICES = 10;

/** Settings that have decided alike so far, and the state that they share. */
interface Company {
  /** Places in the list that was asked for. */
  readonly places: readonly number[];
  state: PipelineState;
  time: number;
}

/** How far it has come: share of all the work, and what is known of each of the settings, null where it is not yet. */
export interface TogetherProgress {
  readonly share: number;
  readonly done: readonly (ReplayedFindings | null)[];
}

/**
 * Replays a history under many settings with the same results, to the last bit, as one replay for each. Settings act on what is believed only
 * where they decide whether a step is looked at and raised; as long as all decide alike one belief serves them all, and only what is said of
 * inserts is kept apart. Where they part, both sides go back to the last place that was kept and on by themselves. Where people had baselines
 * learnt anew, what was raised acts on beliefs, so that each of the settings is replayed alone.
 *
 * @param to reading time at which it ends, epoch ms
 * @returns a generator; see `replayHistory`
 */
export function* replayTogether(
  history: SiteHistory,
  settings: readonly Settings[],
  to: number,
): Generator<TogetherProgress, ReplayedFindings[]> {
  const done: (ReplayedFindings | null)[] = settings.map(() => null);
  let share = 0;
  if ((history.words?.relearnings.length ?? 0) > 0) {
    for (const [place, one] of settings.entries()) {
      for (const steps = replayHistory(history, one, to); done[place] === null; ) {
        const step = steps.next();
        if (step.done) done[place] = step.value;
        else yield { share: (place + step.value.share) / settings.length, done };
      }
    }
    return done as ReplayedFindings[];
  }
  const end = Math.min(to, history.upTo);
  const span = Math.max(1, end - history.firstTime);
  const all = settings.map((_, place) => place);
  const first = contextOf(history, settings, all);
  const state = withBooks(sitePipeline.init(first), emptyBook(), all.map(emptyBook));
  const waiting: Company[] = [{ places: all, state, time: history.firstTime }];
  const shareNow = (now: Company): number => {
    const finished = done.filter((one) => one !== null).length;
    const under = [...waiting, now].reduce(
      (sum, { places, time }) => sum + (places.length * (time - history.firstTime)) / span,
      0,
    );
    // Who goes back to where settings parted has still come as far as was told.
    share = Math.max(share, (finished + under) / settings.length);
    return share;
  };
  for (let now = waiting.pop(); now !== undefined; now = waiting.pop()) {
    const context = contextOf(history, settings, now.places);
    let kept = { state: now.places.length > 1 ? copyOf(now.state) : now.state, time: now.time };
    let parted = false;
    for (let slice = 1; now.time < end && !parted; slice++) {
      const upTo = Math.min(now.time + SLICE_MS, end);
      try {
        sitePipeline.advance(context, now.state, history.tracks, history.log, upTo, null);
        now.time = upTo;
        if (now.places.length > 1 && slice % KEEP_SLICES === 0) kept = { state: copyOf(now.state), time: upTo };
      } catch (error) {
        if (!(error instanceof Parting)) throw error;
        parted = true;
        for (const side of error.sides.toReversed())
          waiting.push({
            places: side.map((place) => now!.places[place]!),
            state: sideOf(copyOf(kept.state), side),
            time: kept.time,
          });
      }
      if (now.time < end && !parted) yield { share: shareNow(now), done };
    }
    if (parted) continue;
    for (const [place, of] of now.places.entries()) {
      done[of] = resultOf(context, now.state, place);
      yield { share: shareNow({ ...now, places: now.places.slice(place + 1) }), done };
    }
  }
  return done as ReplayedFindings[];
}

function contextOf(history: SiteHistory, settings: readonly Settings[], places: readonly number[]): SiteContext {
  return {
    plant: history.plant,
    settings: [{ version: 1, adopted: 0, settings: settings[places[0]!]! }],
    together: places.map((place) => settings[place]!),
    ...asTaped(history),
  };
}

/** Findings are replaced or written over field by field, never changed deeper, and those that are closed not at all. */
const copyOfBook = ({ open, closed, due }: FindingBook): FindingBook => ({
  open: open.map((finding) => ({ ...finding })),
  closed: [...closed],
  due: { ...due },
});

/** A state with these books, put together in one way: states of one shape are worked on by the same machine code. */
function withBooks(
  { time, guns, pools, poolOf, settledBefore }: PipelineState,
  book: FindingBook,
  apart: FindingBook[],
): PipelineState {
  return { time, guns, pools, poolOf, book, settledBefore, apart };
}

function copyOf({ book, apart, ...beliefs }: PipelineState): PipelineState {
  return withBooks({ ...copyAlike(beliefs), book }, copyOfBook(book), apart!.map(copyOfBook));
}

const sideOf = (state: PipelineState, side: readonly number[]): PipelineState =>
  withBooks(
    state,
    state.book,
    side.map((place) => state.apart![place]!),
  );

/** Findings in the order in which one book would have them. */
function resultOf(context: SiteContext, state: PipelineState, place: number): ReplayedFindings {
  const own = state.apart![place]!;
  const closed = [...state.book.closed, ...own.closed].sort((left, right) => left.cleared! - right.cleared!);
  const book = { ...own, open: [...state.book.open, ...own.open], closed };
  return {
    findings: sitePipeline.findings(context, { ...state, book }),
    sprayHoursPerShift: shiftHours(state),
    suspected: suspectedOf(state),
  };
}
