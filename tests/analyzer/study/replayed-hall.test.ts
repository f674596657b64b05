import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { gunzipSync, gzipSync } from 'node:zlib';
import { afterAll, describe, expect, test } from 'vitest';
import { analyzeSite } from '../../../analyzer/analyze-site.ts';
import {
  finish,
  readBundleFile,
  reportText,
  type SiteHistory,
  type StudyBundle,
  study,
  studyReport,
  writeBundleFile,
} from '../../../analyzer/index.ts';
import { sitePipeline } from '../../../analyzer/pipeline.ts';
import { spanOf } from '../../../analyzer/study/history.ts';
import { brokenBounds } from '../../../analyzer/study/stated-bounds.ts';
import { Plant, Settings } from '../../../collector/contract/index.ts';
import { SimulatedReadings } from '../../../evaluation/simulated-readings.ts';
import { plantOf, runHall } from '../../../simulators/index.ts';
import { smallHall } from '../../simulators/small-hall.ts';

const settings = Settings.parse({});
const keen = Settings.parse({ smallestChange: 0.02, falseAlarmsPerGunYear: 3 });
const dir = mkdtempSync(join(tmpdir(), 'driftline-study-'));
afterAll(() => rmSync(dir, { recursive: true }));

const hall = smallHall({ weeks: 3 }, 5);
const sent = new SimulatedReadings();
for (const day of runHall(hall)) for (const reports of day.sent) sent.add(reports);
const plant = Plant.parse(plantOf(hall));
const log = hall.guns.flatMap(({ maintenance }) => maintenance.log).sort((left, right) => left.time - right.time);
const batch = analyzeSite(sitePipeline, { plant, settings, log, readings: sent.table() });
const history: SiteHistory = {
  ...{ plant, log, tracks: batch.tracks, judgements: [] },
  settings: [{ version: 1, adopted: 0, settings }],
  words: { relearnings: [], dismissals: [{ gun: 'gun-02', part: 'pump-seals', time: 1 }] },
  ...spanOf(batch.tracks),
};
const span = { from: history.firstTime, to: history.upTo + 1 };
const present = finish(study(history, settings, span));
const proposed = finish(study(history, keen, span));
const report = JSON.stringify(studyReport(history, present, proposed));
const bundle: StudyBundle = { history, ...span, present: settings, proposed: keen, report };
const versions = { driftline: '0.1.0', analysis: '4.2', node: 'v20.1.0' };

describe('a hall replayed', () => {
  test('finds what the batch command finds', () => {
    expect(present.findings.length).toBeGreaterThan(0);
    expect(present.findings.map(({ finding }) => finding)).toEqual(batch.findings);
  });

  test('a later span counts only its own findings, raised when they were', () => {
    const from = (span.from + span.to) / 2;
    const later = finish(study(history, settings, { from, to: span.to }));
    expect(later.findings.map(({ finding }) => finding)).toEqual(
      batch.findings.filter(({ raised }) => Date.parse(raised) >= from),
    );
    expect(later.total.gunYears).toBeCloseTo(present.total.gunYears / 2, 3);
  });

  test('an earlier end knows nothing of what came later', () => {
    const to = (span.from + span.to) / 2;
    const before = finish(study(history, settings, { from: span.from, to }));
    expect(before.findings.map(({ finding }) => finding.raised)).toEqual(
      batch.findings.map(({ raised }) => raised).filter((raised) => Date.parse(raised) < to),
    );
  });

  test('against itself nothing changes; each finding of either side stands in the difference once', () => {
    expect(studyReport(history, present, present).changes.every(({ kind }) => kind === 'same')).toBe(true);
    const { changes } = studyReport(history, present, proposed);
    expect(changes.filter((one) => one.present !== null)).toHaveLength(present.findings.length);
    expect(changes.filter((one) => one.proposed !== null)).toHaveLength(proposed.findings.length);
    expect(reportText(studyReport(history, present, proposed))).toContain('gun-years');
  });

  test('a bound on what nothing was measured of is broken', () => {
    const empty = finish(study({ ...history, log: [] }, settings, span));
    expect(brokenBounds(empty.total, { leastWarningSprayHours: 1 })).toEqual([
      'spray hours of warning: found nothing to measure, expected at least 1 on average',
    ]);
    expect(brokenBounds(present.total, { mostMissed: 1000, mostLate: 1000 })).toEqual([]);
  });
});

describe('a bundle', () => {
  const file = join(dir, 'study.gz');
  const refusal = async (name: string, text: string): Promise<string> => {
    const damaged = join(dir, name);
    writeFileSync(damaged, gzipSync(text));
    return readBundleFile(damaged, versions).then(
      () => 'read',
      (error: Error) => error.message.replace(`${damaged}`, 'FILE'),
    );
  };

  test('comes back as it was, and its question has the same answer to the last byte', async () => {
    await writeBundleFile(file, bundle, versions);
    const read = await readBundleFile(file, versions);
    expect(read).toEqual(bundle);
    const again = [read.present, read.proposed].map((one) => finish(study(read.history, one, read)));
    expect(JSON.stringify(studyReport(read.history, again[0]!, again[1]!))).toBe(read.report);
  });

  test('of another version, cut off or damaged is refused in one sentence', async () => {
    await writeBundleFile(file, bundle, versions);
    const lines = gunzipSync(readFileSync(file)).toString('utf8').trimEnd().split('\n');
    await expect(readBundleFile(file, { ...versions, driftline: '0.2.0' })).rejects.toThrow(
      /line 1: found a study made with driftline 0\.1\.0 \(analysis 4\.2\) on Node v20\.1\.0, expected driftline 0\.2\.0/,
    );
    await expect(readBundleFile(file, { ...versions, analysis: '5.2' })).rejects.toThrow(
      /made with driftline 0\.1\.0 \(analysis 4\.2\) on .*, expected driftline 0\.1\.0 \(analysis 5\.2\)/,
    );
    const { analysis: _, ...older } = JSON.parse(lines[0]!);
    expect(await refusal('older', [JSON.stringify(older), ...lines.slice(1)].join('\n'))).toMatch(
      /\(analysis unknown\)/,
    );
    expect(await refusal('empty', '')).toMatch(/^FILE: found nothing in it, expected a study bundle, as /);
    expect(await refusal('other', '{"a":1}')).toMatch(/^FILE: found something else, expected a study bundle, as /);
    expect(await refusal('text', 'hello')).toMatch(/^FILE: found something else, expected a study bundle, as /);
    const foreign = JSON.stringify({ ...JSON.parse(lines[0]!), format: 7, node: 'v22.0.0', more: 1 });
    expect(await refusal('foreign', [foreign, ...lines.slice(1)].join('\n'))).toMatch(
      /^FILE, line 1: found a study made with driftline 0\.1\.0 \(analysis 4\.2\) on Node v22\.0\.0, expected/,
    );
    const edited = lines.map((line) => line.replace('"smallestChange":0.02', '"smallestChange":0.03'));
    expect(await refusal('edited', edited.join('\n'))).toMatch(/^FILE: found another content than its SHA-256 is of/);
    expect(await refusal('cut', lines.slice(0, 3).join('\n'))).toBe(
      'FILE, line 4: found the end of the file, expected more stations or the report: it was cut off',
    );
    const short = lines[2]!.replace(/"start":"[^"]{16}/, '"start":"');
    expect(await refusal('short', [lines[0], lines[1], short, lines.at(-1)].join('\n'))).toMatch(
      /^FILE, line 3: found \d+ values of start, expected \d+, one a run$/,
    );
    await expect(readBundleFile(join(dir, 'none'), versions)).rejects.toThrow(/no such file/);
  });
});
