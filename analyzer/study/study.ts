import type { Settings } from '../../collector/contract/index.ts';
import { settingsFor } from '../../collector/contract/index.ts';
import { sprayClock } from '../replay/spray-clock.ts';
import type { SiteHistory } from './history.ts';
import { isSeenInAir, type JudgedDue, judgeDue } from './judge-due.ts';
import { type JudgedFinding, judgeFinding } from './judge-finding.ts';
import { type ReplayedFindings, type ReplayProgress, replayHistory } from './replay-history.ts';
import { dueParts, statementsOf } from './statements.ts';
import { type Tally, tallyOf } from './study-score.ts';
import { unloggedChanges } from './undecided-changes.ts';
import { wordOnFinding } from './word-on-finding.ts';

/** A span of reading time, epoch ms: from inclusive, to exclusive. */
export interface Span {
  readonly from: number;
  readonly to: number;
}

/** What one set of settings would have found within a span, set against what people found. */
export interface Study extends Span {
  readonly settings: Settings;
  /** Raised within the span, in order of `raised`. */
  readonly findings: readonly JudgedFinding[];
  /** Raised before the span: none of its findings, but other settings may raise the same within it. */
  readonly before: readonly JudgedFinding[];
  /** Parts found worn within the span that the air can show, in order of time. */
  readonly due: readonly JudgedDue[];
  /** Calendar time that each gun was watched within the span. */
  readonly watched: ReadonlyMap<string, Span>;
  readonly total: Tally;
}

/**
 * Replays a history with one set of settings and judges what would have been found.
 *
 * @returns a generator of progress; see `replayHistory`
 */
export function* study(history: SiteHistory, settings: Settings, span: Span): Generator<ReplayProgress, Study> {
  return judgeReplay(history, settings, span, yield* replayHistory(history, settings, span.to));
}

/** Judges what settings would have found. */
export function judgeReplay(history: SiteHistory, settings: Settings, span: Span, replayed: ReplayedFindings): Study {
  const statements = statementsOf(history.log);
  const unlogged = unloggedChanges(replayed.suspected, history.log, history.words?.dismissals ?? []);
  const findings = replayed.findings.map((finding) =>
    judgeFinding(finding, statements, wordOnFinding(finding, history.judgements), unlogged),
  );
  const clocks = new Map([...history.tracks].map(([station, { runs }]) => [station, sprayClock(runs)]));
  const due = dueParts(statements)
    .filter((one) => isSeenInAir(one) && isWithin(one.time, span) && clocks.has(one.gun))
    .map((one) => {
      const { leadTimeShifts } = settingsFor(settings, { gun: one.gun, part: one.part });
      const wanted = leadTimeShifts * (replayed.sprayHoursPerShift.get(one.gun) ?? 0);
      return judgeDue(one, findings, clocks.get(one.gun), wanted);
    });
  const watched = watchedSpans(history, span);
  const within = findings.filter(({ raised }) => isWithin(raised, span));
  const before = findings.filter(({ raised }) => raised < span.from);
  return { ...span, settings, findings: within, before, due, watched, total: tallyOf(within, due, gunMsOf(watched)) };
}

/** The same study counted for some of it: one gun, one part, some spans; what is left out counts for all. */
export function tallyFor(
  { findings, due, watched }: Study,
  subject: { readonly gun?: string; readonly part?: string; readonly spans?: readonly Span[] },
): Tally {
  const { gun, part, spans } = subject;
  const counts = (one: { gun: string | null; part: string; time: number }): boolean =>
    (gun === undefined || one.gun === gun) &&
    (part === undefined || one.part === part) &&
    (spans === undefined || spans.some((span) => isWithin(one.time, span)));
  const guns = new Map([...watched].filter(([id]) => gun === undefined || id === gun));
  return tallyOf(
    findings.filter(({ finding, raised }) => counts({ gun: finding.gun, part: finding.cause, time: raised })),
    due.filter(counts),
    spans === undefined
      ? gunMsOf(guns)
      : spans.reduce((sum, span) => sum + gunMsOf(new Map([...guns].map(([id, one]) => [id, overlap(one, span)]))), 0),
  );
}

function watchedSpans({ plant, tracks }: SiteHistory, span: Span): Map<string, Span> {
  const spans = new Map<string, Span>();
  for (const { id } of plant.guns) {
    const track = tracks.get(id);
    if (track !== undefined) spans.set(id, overlap({ from: track.firstTime, to: track.lastTime }, span));
  }
  return spans;
}

function overlap(one: Span, other: Span): Span {
  const from = Math.max(one.from, other.from);
  return { from, to: Math.max(from, Math.min(one.to, other.to)) };
}

const gunMsOf = (spans: ReadonlyMap<string, Span>): number =>
  [...spans.values()].reduce((sum, { from, to }) => sum + to - from, 0);

const isWithin = (time: number, { from, to }: Span): boolean => time >= from && time < to;
