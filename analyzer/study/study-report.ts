import { type Finding, formatTime, isPartId, type Settings } from '../../collector/contract/index.ts';
import { compareStudies, type FindingChange } from './compare-studies.ts';
import type { SiteHistory } from './history.ts';
import type { JudgedFinding } from './judge-finding.ts';
import { type Study, tallyFor } from './study.ts';
import type { Tally } from './study-score.ts';

/** Raised with every change of what a report says of the same findings: a bundle carries its report. */
export const REPORT_VERSION = 3;

/** A finding as a report tells it. Times are ISO 8601 in UTC. */
export interface ToldFinding {
  readonly gun: string | null;
  readonly guns?: readonly string[];
  readonly cause: string;
  readonly raised: string;
  readonly cleared: string | null;
  readonly verdict: JudgedFinding['verdict'];
  readonly because: string;
}

export interface ToldStudy {
  readonly settings: Settings;
  readonly total: Tally;
  readonly byPart: readonly { readonly part: string; readonly tally: Tally }[];
  readonly byGun: readonly { readonly gun: string; readonly tally: Tally }[];
  readonly due: readonly {
    readonly gun: string;
    readonly part: string;
    readonly found: string;
    readonly time: string;
    readonly told: string;
    readonly raised: string | null;
    readonly leadSprayHours: number;
    readonly wantedSprayHours: number;
    readonly namedAs: string | null;
  }[];
}

/** What `driftline replay --json` prints and the screen shows: the same for the same history and settings. */
export interface StudyReport {
  readonly from: string;
  readonly to: string;
  readonly present: ToldStudy;
  readonly proposed: ToldStudy;
  readonly changes: readonly {
    readonly kind: FindingChange['kind'];
    readonly sprayHoursEarlier: number | null;
    readonly present: ToldFinding | null;
    readonly proposed: ToldFinding | null;
  }[];
}

/** Two studies of the same span side by side. */
export function studyReport(history: SiteHistory, present: Study, proposed: Study): StudyReport {
  return {
    from: formatTime(present.from),
    to: formatTime(present.to),
    present: toldStudy(present),
    proposed: toldStudy(proposed),
    changes: compareStudies(history, present, proposed).map(({ kind, before, after, sprayHoursEarlier }) => ({
      kind,
      sprayHoursEarlier,
      present: before === null ? null : toldFinding(before),
      proposed: after === null ? null : toldFinding(after),
    })),
  };
}

/** One study as a report tells it. */
export function toldStudy(study: Study): ToldStudy {
  const parts = [
    ...new Set([
      ...study.findings.map(({ finding }) => finding.cause).filter(isPartId),
      ...study.due.map(({ part }) => part),
    ]),
  ].sort();
  return {
    settings: study.settings,
    total: study.total,
    byPart: parts.map((part) => ({ part, tally: tallyFor(study, { part }) })),
    byGun: [...study.watched.keys()].map((gun) => ({ gun, tally: tallyFor(study, { gun }) })),
    due: study.due.map(({ time, raised, ...rest }) => ({
      ...rest,
      time: formatTime(time),
      raised: raised === null ? null : formatTime(raised),
    })),
  };
}

function toldFinding({ finding, verdict, because }: JudgedFinding): ToldFinding {
  const { gun, guns, cause, raised, cleared }: Finding = finding;
  return { gun, ...(guns === undefined ? {} : { guns }), cause, raised, cleared, verdict, because };
}
