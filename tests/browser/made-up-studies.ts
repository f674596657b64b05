import { writeFileSync } from 'node:fs';
import type { CurvePoint, Studies, StudyAnswer, StudyReport, Tally } from '../../analyzer/index.ts';
import { AppError, Settings } from '../../collector/contract/index.ts';

const tally = (inTime: number): Tally => ({
  ...{ inTime, late: 1, missed: 0, right: inTime + 1, falseAlarms: 1, unknown: 0, open: 2, gunYears: 4 },
  falsePerGunYear: { value: 0.25, low: 0.01, high: 1.39 },
  warningSprayHours: { value: 12, low: 7, high: 17 },
});
const told = (settings: object, inTime: number): StudyReport['present'] => ({
  ...{ settings: Settings.parse(settings), total: tally(inTime), due: [] },
  byPart: [{ part: 'pump-insert', tally: tally(inTime) }],
  byGun: [{ gun: 'gun-01', tally: tally(inTime) }],
});
const REPORT: StudyReport = {
  ...{ from: '2026-01-01T00:00:00.000Z', to: '2026-03-01T00:00:00.000Z' },
  ...{ present: told({}, 3), proposed: told({ smallestChange: 0.03 }, 5), changes: [] },
};

/** Point of a curve with these settings. */
const point = (settings: object, inTime: number): CurvePoint => ({
  settings: Settings.parse(settings),
  total: tally(inTime),
});
const CURVE = { present: point({}, 3), proposed: point({ smallestChange: 0.03 }, 5) };
const POINTS = [point({ falseAlarmsPerGunYear: 0.1 }, 2), point({ falseAlarmsPerGunYear: 1, smallestChange: 0.04 }, 6)];
const SUGGESTED = Settings.parse({ falseAlarmsPerGunYear: 1, smallestChange: 0.04 });
const SUGGESTION = { settings: SUGGESTED, fitted: tally(6), unseen: tally(5), folds: [] };

function answerTo(kind: 'compare' | 'curve' | 'suggest'): StudyAnswer {
  if (kind === 'compare') return { kind, report: REPORT };
  return kind === 'curve' ? { kind, ...CURVE, points: POINTS } : { kind, suggestion: SUGGESTION, points: POINTS };
}

/** Studies that answer at once; a bundle is whatever text it was written with. */
export function madeUpStudies(plant: Extract<StudyAnswer, { kind: 'open' }>['plant']): Studies {
  let id = 0;
  const progress = { stage: 'trying', share: 1, points: [] } as const;
  return {
    ask(question) {
      const answer: Promise<StudyAnswer> =
        question.kind !== 'open'
          ? Promise.resolve(answerTo(question.kind))
          : question.name === 'old.gz'
            ? Promise.reject(new AppError('STUDY_UNUSABLE', 'old.gz, line 1: found a study made with driftline 0.0.9'))
            : Promise.resolve({ kind: 'open', name: question.name, plant, report: REPORT, isSame: true });
      return { id: id++, progress, answer, cancel: () => undefined };
    },
    save: async (_study, file) => writeFileSync(file, 'a bundle'),
    stop: async () => undefined,
  };
}
