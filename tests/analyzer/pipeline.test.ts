import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { analyzeSite } from '../../analyzer/analyze-site.ts';
import { sitePipeline } from '../../analyzer/pipeline.ts';
import type { PipelineState } from '../../analyzer/pipeline-state.ts';
import { TICK_MS } from '../../analyzer/pipeline-tick-length.ts';
import type { SiteContext, Track } from '../../analyzer/site.ts';
import { GunView, Job } from '../../analyzer/views.ts';
import { type LogEntry, Plant, Settings } from '../../collector/contract/index.ts';
import { SimulatedReadings } from '../../evaluation/simulated-readings.ts';
import { buildHall, plantOf, runHall } from '../../simulators/index.ts';
import { SMALL } from '../simulators/small-hall.ts';

interface Site {
  readonly context: SiteContext;
  readonly tracks: ReadonlyMap<string, Track>;
  readonly log: readonly LogEntry[];
  readonly start: number;
  readonly end: number;
}

/** Two guns for two weeks: seals that leak and are changed, a coupled output, a sag of the air line. */
function smallSite(): Site {
  const scenario = {
    ...SMALL,
    weeks: 2,
    newAtStart: 1,
    fleet: [
      { output: 'measured', fitting: 'all' },
      { output: 'coupled', fitting: 'all' },
    ],
  } as const;
  const { work } = buildHall(scenario, 1);
  const hall = buildHall(scenario, 1, {
    supplyEvents: [{ kind: 'sag', start: work.moment(0.7), end: work.moment(0.7) + 4 * 3_600_000, size: 2.8, line: 0 }],
    storyOf: (gun, drawn) => ({
      ...drawn,
      plans:
        gun === 1
          ? []
          : [
              {
                id: 'seals',
                cause: 'pump-seals',
                gun,
                shape: 'step',
                onset: work.moment(0.4),
                size: 0.13,
                sprayHours: 0,
                mendAfter: 4,
                logged: true,
                wrongFirst: null,
              },
            ],
    }),
  });
  const sent = new SimulatedReadings();
  for (const day of runHall(hall)) for (const reports of day.sent) sent.add(reports);
  const plant = Plant.parse(plantOf(hall));
  const settings = Settings.parse({});
  const log = hall.guns.flatMap(({ maintenance }) => maintenance.log).sort((left, right) => left.time - right.time);
  const { tracks } = analyzeSite(sitePipeline, { plant, settings, log, readings: sent.table() });
  const context = { plant, settings: [{ version: 1, adopted: 0, settings }] };
  const times = [...tracks.values()];
  return {
    context,
    tracks,
    log,
    start: Math.min(...times.map(({ firstTime }) => firstTime)),
    end: Math.max(...times.map(({ lastTime }) => lastTime)),
  };
}

const site = smallSite();

/** Everything that the pipeline says after it was advanced to some times and then to the end. */
function said(
  cuts: readonly number[],
  log = site.log,
  keep: (state: PipelineState) => PipelineState = (state) => state,
) {
  const { context, tracks, end } = site;
  let state = sitePipeline.init(context);
  const snapshots = [...cuts, end].flatMap((upTo) => {
    const told = sitePipeline.advance(context, state, tracks, log, upTo);
    state = keep(state);
    return told;
  });
  return {
    snapshots,
    findings: sitePipeline.findings(context, state),
    views: sitePipeline.views(context, state),
    jobs: sitePipeline.jobs(context, state),
  };
}

const whole = said([]);
const times = fc.array(fc.integer({ min: site.start, max: site.end }), { maxLength: 12 });
const ascending = times.map((cuts) => [...cuts].sort((left, right) => left - right));

describe('the pipeline', () => {
  it('finds something in this hall, so that the rest is worth its while', () => {
    expect(whole.findings.map(({ cause }) => cause)).toEqual(expect.arrayContaining(['pump-seals', 'supply-air']));
  });

  it('finds the same however its advance is cut', () => {
    fc.assert(
      fc.property(ascending, (cuts) => {
        expect(said(cuts)).toEqual(whole);
      }),
      { numRuns: 20 },
    );
  });

  it('finds the same where its state is cloned, as storing does, at random times', () => {
    const stored = (state: PipelineState): PipelineState => structuredClone(state);
    fc.assert(
      fc.property(ascending, (cuts) => {
        expect(said(cuts, site.log, stored)).toEqual(whole);
      }),
      { numRuns: 15 },
    );
  });

  it('finds the same where a time comes twice or earlier than the one before', () => {
    fc.assert(
      fc.property(times, (cuts) => {
        expect(said(cuts)).toEqual(whole);
      }),
      { numRuns: 10 },
    );
  });

  it('finds the same in whatever order the lines of the log come', () => {
    fc.assert(
      fc.property(fc.shuffledSubarray([...site.log], { minLength: site.log.length }), (log) => {
        expect(said([], log)).toEqual(whole);
      }),
      { numRuns: 5 },
    );
  });

  it.each([
    [-1, false],
    [0, true],
    [1, true],
  ])('takes a reading time in at its tick: %i ms off it', (off, taken) => {
    const { context, tracks, log } = site;
    const raised = Date.parse(whole.findings[0]!.raised);
    expect(raised % TICK_MS).toBe(0);
    const state = sitePipeline.init(context);
    sitePipeline.advance(context, state, tracks, log, raised + off);
    expect(sitePipeline.findings(context, state).length > 0).toBe(taken);
  });

  it('never uses later readings: what it says at a time does not change with what comes after', () => {
    const { context, tracks, log, start, end } = site;
    fc.assert(
      fc.property(fc.integer({ min: start, max: end }), (upTo) => {
        const cut = new Map(
          [...tracks].map(([id, track]) => {
            const ends = track.runs.columns.end;
            let length = 0;
            while (length < track.runs.length && ends[length]! <= upTo) length++;
            return [id, { ...track, runs: { ...track.runs, length } }];
          }),
        );
        const early = sitePipeline.init(context);
        const late = sitePipeline.init(context);
        const known = log.filter(({ time }) => time <= upTo);
        expect(sitePipeline.advance(context, early, cut, known, upTo)).toEqual(
          sitePipeline.advance(context, late, tracks, log, upTo),
        );
      }),
      { numRuns: 10 },
    );
  });

  it('has no excess air, need or remaining life for an output that is computed from the air', () => {
    const { excessAir, neededAir, actualAir, remaining, wearLeft } = whole.views[1]!;
    expect([excessAir, neededAir, actualAir, remaining, wearLeft]).toEqual([null, null, null, null, null]);
    for (const finding of whole.snapshots.filter(({ gun }) => gun === 'gun-02')) expect(finding.excessAir).toBeNull();
  });

  it('tells excess air with its interval for an output that is measured', () => {
    const { p10, p50, p90 } = whole.views[0]!.excessAir!;
    expect(p10).toBeLessThan(p50);
    expect(p50).toBeLessThan(p90);
  });

  it('says that every gun is still being learnt before the first reading, and finds nothing', () => {
    const state = sitePipeline.init(site.context);
    expect(sitePipeline.findings(site.context, state)).toEqual([]);
    expect(sitePipeline.views(site.context, state)[0]).toMatchObject({
      state: 'learning',
      learning: { have: 0, need: 60 },
      asOf: null,
    });
  });

  it('has views and jobs in the shape that screens rely on', () => {
    for (const view of whole.views) expect(GunView.parse(view)).toEqual(view);
    const { context, tracks, log } = site;
    const state = sitePipeline.init(context);
    sitePipeline.advance(context, state, tracks, log, Date.parse(whole.findings[0]!.raised));
    const jobs = sitePipeline.jobs(context, state);
    expect(jobs.length).toBeGreaterThan(0);
    for (const job of jobs) expect(Job.parse(job)).toEqual(job);
  });

  it('moves nothing by an inspection: findings are raised and cleared as if nobody had looked', () => {
    const inspected = Array.from(
      { length: 8 },
      (_, place): LogEntry => ({
        time: site.start + ((place + 1) / 9) * (site.end - site.start),
        gun: 'gun-01',
        part: ['nozzle', 'pump-insert', 'powder-hose', 'pump-seals'][place % 4]!,
        action: 'inspected',
        found: null,
        note: '',
      }),
    );
    const key = (findings: typeof whole.findings) =>
      findings.map(({ gun, cause, raised, cleared }) => ({ gun, cause, raised, cleared }));
    const looked = said([], [...site.log, ...inspected]);
    expect(key(looked.findings)).toEqual(key(whole.findings));
    expect(looked.views[0]!.insertSince).toBe(whole.views[0]!.insertSince);
    expect(looked.views[0]!.sprayHoursSinceInsert).toBeCloseTo(whole.views[0]!.sprayHoursSinceInsert!, 6);
    expect(looked.views[0]!.excessAir!.p50).toBeCloseTo(whole.views[0]!.excessAir!.p50, 2);
  });
});
