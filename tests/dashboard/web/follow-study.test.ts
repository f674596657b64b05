import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { Settings } from '../../../collector/contract/index.ts';
import { NO_CONNECTION } from '../../../dashboard/web/api.ts';
import { askStudy, followStudy, type Question, type StudyNow } from '../../../dashboard/web/settings/follow-study.ts';

const BEGUN: StudyNow = {
  ...{ id: '7', state: 'running', stage: 'trying', share: 0.2, points: [] },
  ...{ answer: null, fault: null },
};
const DONE: StudyNow = { ...BEGUN, state: 'done', share: 1 };
const answers: (() => Promise<Response>)[] = [];
const lost = (): Promise<Response> => Promise.reject(new TypeError('fetch failed'));
const says =
  (body: object, status = 200) =>
  (): Promise<Response> =>
    Promise.resolve(Response.json(body, { status }));

beforeEach(() => {
  answers.length = 0;
  vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout'] });
  vi.stubGlobal('fetch', () => answers.shift()!());
});
afterEach(() => {
  vi.useRealTimers();
  vi.unstubAllGlobals();
});

const QUESTION: Question = {
  ...{ kind: 'compare', proposed: Settings.parse({}), from: null, to: null, targetPerGunYear: null },
};
const unanswered = (): Promise<Response> => Promise.reject(new DOMException('timed out', 'TimeoutError'));

test('a service that is too busy for a question is told from one that is not reached', async () => {
  answers.push(unanswered, says({ status: 'ok' }));
  await expect(askStudy(QUESTION)).rejects.toThrow(/^driftline is there, but too busy to take the question/);
  for (const sign of [unanswered, lost, says({}, 503)]) {
    answers.push(unanswered, sign);
    await expect(askStudy(QUESTION)).rejects.toThrow(NO_CONNECTION);
  }
  // What breaks at once needs no second look.
  answers.push(lost);
  await expect(askStudy(QUESTION)).rejects.toThrow(NO_CONNECTION);
  expect(answers).toEqual([]);
});

test('a question that is refused keeps the sentence of the service', async () => {
  answers.push(says({ title: 'Too many', detail: '8 studies are under way', code: 'TOO_MANY' }, 429));
  await expect(askStudy(QUESTION)).rejects.toThrow('Too many: 8 studies are under way');
});

test('a study goes on being followed after the connection was lost for a moment', async () => {
  answers.push(lost, lost, says(DONE));
  const told: number[] = [];
  const end = followStudy(BEGUN, ({ share }) => void told.push(share), new AbortController().signal);
  await vi.advanceTimersByTimeAsync(10_000);
  expect(await end).toEqual(DONE);
  expect(told).toEqual([0.2, 0.2, 0.2, 1]);
});

test('one that the service no longer knows ends with its sentence', async () => {
  answers.push(says({ title: 'Not found', detail: 'there is no study 7', code: 'NOT_FOUND' }, 404));
  const end = followStudy(BEGUN, () => undefined, new AbortController().signal);
  const refused = expect(end).rejects.toThrow('Not found: there is no study 7');
  await vi.advanceTimersByTimeAsync(10_000);
  await refused;
});
