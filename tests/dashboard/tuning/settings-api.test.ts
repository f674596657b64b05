import { parquetMetadata } from 'hyparquet';
import { expect, test } from 'vitest';
import { runColumns } from '../../../collector/store/run-table.ts';
import { findingOf, INSERT_JOB, NOON } from '../hall-guns.ts';
import { openDesk } from './open-desk.ts';

interface Version {
  readonly version: number;
  readonly settings: { readonly smallestChange: number };
}

test('settings are adopted with a reason, listed newest first, and taken back in one step', async () => {
  const desk = await openDesk();
  const adopted = await desk.post('/api/settings', {
    settings: { smallestChange: 0.03 },
    why: 'trial',
    expected: 'fewer surprises',
    after: 1,
  });
  expect(adopted.status).toBe(201);
  expect(adopted.body).toMatchObject({ version: 2, who: 'local', why: 'trial', expected: 'fewer surprises' });
  expect(desk.looks()).toBe(1);
  const back = await desk.post('/api/settings/revert', { to: 1, after: 2 });
  expect(back.body).toMatchObject({ version: 3, why: 'back to version 1', settings: { smallestChange: 0.05 } });
  const { body } = await desk.get('/api/settings');
  expect((body as Version[]).map(({ version, settings }) => [version, settings.smallestChange])).toEqual([
    [3, 0.05],
    [2, 0.03],
    [1, 0.05],
  ]);
});

test('the second of two engineers is told what the first did, and nothing is overwritten', async () => {
  const desk = await openDesk();
  const change = (smallestChange: number) =>
    desk.post('/api/settings', { settings: { smallestChange }, why: `to ${smallestChange}`, after: 1 });
  expect((await change(0.03)).status).toBe(201);
  const second = await change(0.04);
  expect(second.status).toBe(409);
  expect(second.body).toMatchObject({
    code: 'EDITED_MEANWHILE',
    detail: expect.stringMatching(/^version 2 was adopted by local at .* \(to 0\.03\), after version 1/),
  });
  expect(desk.store.settings.list()).toHaveLength(2);
});

test('an override of what is not there is adopted, and told', async () => {
  const desk = await openDesk();
  expect((await desk.get('/api/settings/subjects')).body).toEqual({ powders: [] });
  const overrides = [
    { gun: 'gun-01', learningRuns: 80 },
    { gun: 'gun-77', learningRuns: 90 },
    { powder: 'p-none', learningRuns: 90 },
  ];
  const { status, body } = await desk.post('/api/settings', { settings: { overrides }, why: 'trial', after: 1 });
  expect(status).toBe(201);
  expect((body as { warnings: string[] }).warnings).toEqual([
    'overrides[1].gun: found gun-77, which the plant does not have: this override changes nothing',
    expect.stringMatching(/^overrides\[2\]\.powder: found p-none, which the plant file does not name/),
  ]);
});

test('what cannot be adopted is refused by its field', async () => {
  const desk = await openDesk();
  const refused = async (body: unknown, path = '/api/settings') => {
    const { status, body: problem } = await desk.post(path, body);
    return [status, (problem as { detail: string }).detail];
  };
  expect(await refused({ settings: { smallestChange: 3 }, why: 'x', after: 1 })).toEqual([
    422,
    expect.stringContaining('#/settings/smallestChange: found 3'),
  ]);
  expect(await refused({ settings: {}, why: '  ', after: 1 })).toEqual([422, expect.stringContaining('#/why')]);
  expect(await refused({ settings: {}, why: 'the same', after: 1 })).toEqual([
    422,
    'the settings are those of version 1: expected a change',
  ]);
  expect(await refused({ to: 9, after: 1 }, '/api/settings/revert')).toEqual([
    404,
    'there is no version 9 of the settings',
  ]);
  expect(desk.store.settings.list()).toHaveLength(1);
});

test('what follows is told in figures that move with the settings', async () => {
  const desk = await openDesk();
  const told = async (settings: object): Promise<Record<string, string>> => {
    const { body } = await desk.post('/api/settings/consequences', { settings });
    return Object.fromEntries(
      (body as { setting: string; text: string }[]).map(({ setting, text }) => [setting, text]),
    );
  };
  const hoursIn = (text: string | undefined): number => Number(/seen after about ([\d.]+) h/.exec(text ?? '')?.[1]);
  const [usual, keen, wide] = [
    await told({}),
    await told({ falseAlarmsPerGunYear: 10 }),
    await told({ changeLimitExcessAir: 0.4 }),
  ];
  expect(Object.keys(usual).sort()).toEqual([
    'changeLimitExcessAir',
    'falseAlarmsPerGunYear',
    'leadTimeShifts',
    'learningRuns',
    'smallestChange',
  ]);
  expect(hoursIn(keen.falseAlarmsPerGunYear)).toBeLessThanOrEqual(hoursIn(usual.falseAlarmsPerGunYear));
  expect(hoursIn(wide.smallestChange)).toBeGreaterThan(hoursIn(usual.smallestChange));
  expect((await desk.get('/api/settings/schema')).body).toMatchObject({
    properties: { smallestChange: { minimum: 0.01, maximum: 0.5, default: 0.05, unit: expect.any(String) } },
  });
});

test('a finding is judged, judged again, and the word taken back; one that never was is not', async () => {
  const desk = await openDesk();
  const finding = findingOf(INSERT_JOB);
  desk.store.findings.save([finding], 1);
  const { gun, cause, raised } = finding;
  const judge = (judged: string | null, at = raised) =>
    desk.post('/api/judgements', { gun, cause, raised: at, judged, reason: 'seen at the bench' });
  expect((await judge('right')).status).toBe(201);
  await judge('wrong');
  expect((await desk.get('/api/judgements')).body).toMatchObject([{ gun, cause, judged: 'wrong', who: 'local' }]);
  await judge(null);
  expect((await desk.get('/api/judgements')).body).toEqual([]);
  expect(desk.store.truths.history(gun, cause, Date.parse(raised)).map(({ judged }) => judged)).toEqual([
    'right',
    'wrong',
    null,
  ]);
  expect((await judge('right', '2020-01-01T00:00:00Z')).status).toBe(404);
  expect((await judge('perhaps')).status).toBe(422);
});

test('runs are left out with a reason and taken in again', async () => {
  const desk = await openDesk();
  const span = { gun: 'gun-01', from: '2026-03-01T00:00:00Z', to: '2026-03-02T00:00:00Z', reason: 'trial powder' };
  const { status, body } = await desk.post('/api/exclusions', span);
  expect(status).toBe(201);
  const { id } = body as { id: number };
  expect((await desk.get(`/api/exclusions/${id}`, { method: 'DELETE' })).status).toBe(200);
  expect((await desk.get(`/api/exclusions/${id}`, { method: 'DELETE' })).status).toBe(404);
  expect((await desk.get('/api/exclusions')).body).toMatchObject([{ id, reason: 'trial powder', undoneBy: 'local' }]);
  expect(desk.looks()).toBe(2);
  for (const wrong of [{ gun: 'gun-99' }, { to: span.from }, { reason: ' ' }])
    expect((await desk.post('/api/exclusions', { ...span, ...wrong })).status).toBe(422);
});

test('a study of a folder without readings is refused in one sentence, an unknown one is not found', async () => {
  const desk = await openDesk();
  const asked = await desk.post('/api/studies', { kind: 'compare', proposed: { smallestChange: 0.03 } });
  expect(asked.status).toBe(202);
  const { id } = asked.body as { id: string };
  const state = async () => (await desk.get(`/api/studies/${id}`)).body as { state: string; fault: string | null };
  await expect.poll(async () => (await state()).state, { timeout: 20_000 }).toBe('refused');
  expect((await state()).fault).toBe(
    'the data folder: found neither readings nor runs of this plant, expected some to replay',
  );
  expect((await desk.get('/api/studies/77')).status).toBe(404);
  expect((await desk.post('/api/studies', { kind: 'suggest', proposed: {} })).status).toBe(422);
});

test('the past of a gun comes as JSON, CSV and Parquet; a span that cannot be is refused by its parameter', async () => {
  const desk = await openDesk();
  const path = '/api/guns/gun-01/history';
  expect((await desk.get(`${path}?series=output,ripple`)).body).toMatchObject({
    gun: 'gun-01',
    times: [],
    series: [
      { name: 'output', unit: 'g/min' },
      { name: 'ripple', unit: 'bar' },
    ],
  });
  const csv = await desk.get(`${path}.csv?series=output`);
  expect([csv.type, csv.body]).toEqual([
    'text/csv; charset=utf-8',
    'time,output lowest [g/min],output mean [g/min],output highest [g/min]\r\n',
  ]);
  const parquet = await fetch(`${desk.url}/api/guns/gun-01/runs.parquet`);
  // Source: Apache Parquet format, a file begins and ends with the four bytes PAR1.
  const bytes = Buffer.from(await parquet.arrayBuffer());
  expect([bytes.subarray(0, 4).toString(), bytes.subarray(-4).toString()]).toEqual(['PAR1', 'PAR1']);
  const problem = async (query: string) => ((await desk.get(path + query)).body as { detail: string }).detail;
  expect(await problem('?from=2026-03-02T00:00:00Z&to=2026-03-01T00:00:00Z')).toBe(
    'to: found 2026-03-01T00:00:00.000Z, expected a time after 2026-03-02T00:00:00.000Z, where the span begins',
  );
  // Of the end that was asked for, not of one that nobody gave.
  expect(await problem('?from=2031-03-02T00:00:00Z')).toMatch(
    /^from: found 2031-03-02T00:00:00.000Z, expected a time before 20.+Z, where the span ends$/,
  );
  expect(await problem('?series=output,smell')).toMatch(/^series: found "smell", expected some of conveyingFlow/);
  expect((await desk.get('/api/guns/gun-99/history')).status).toBe(404);
});

test('all that there is of a gun begins with its first run and ends with its newest, though no readings are kept', async () => {
  const desk = await openDesk();
  const [first, newest] = [NOON - 700 * 86_400_000, NOON - 30 * 86_400_000];
  const columns = runColumns(2);
  columns.start.set([first, newest - 60_000]);
  columns.end.set([first + 60_000, newest]);
  desk.store.runs.replace('gun-01', 0, { gun: 'gun-01', length: 2, columns, powders: [] });
  expect((await desk.get('/api/guns/gun-01/history?series=output')).body).toMatchObject({
    known: { from: first, to: newest },
    from: first,
    to: newest + 1 + (newest - first) * 0.02,
  });
  const parquet = await (await fetch(`${desk.url}/api/guns/gun-01/runs.parquet`)).arrayBuffer();
  expect(Number(parquetMetadata(parquet).num_rows)).toBe(2);
});
