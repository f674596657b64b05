import { afterEach, expect, test, vi } from 'vitest';
import { historyPath, POINTS } from '../../../collector/contract/history-look.ts';
import { askHistoryEarly, loadHistory } from '../../../dashboard/web/history/load-history.ts';
import { askOnce } from '../../../dashboard/web/link/ask-early.ts';

afterEach(() => vi.unstubAllGlobals());

const FROM = '2026-03-02T06:00:00.000Z';
const TO = '2026-03-09T06:00:00.000Z';
const SPAN = { from: Date.parse(FROM), to: Date.parse(TO) };

/** Stands in for the service; keeps what it was asked. */
function service(answer: (path: string) => Response): string[] {
  const asked: string[] = [];
  vi.stubGlobal('fetch', async (path: string) => {
    asked.push(path);
    return answer(path);
  });
  return asked;
}

test('what the history page shows first is asked for once, before the page is there', async () => {
  const asked = service((path) => Response.json({ path }));
  askHistoryEarly(`?gun=gun-01&from=${FROM}&to=${TO}`);
  const history = historyPath('gun-01', SPAN, POINTS);
  expect(asked).toEqual(['/api/site', history]);
  expect(await loadHistory('gun-01', SPAN, POINTS)).toEqual({ path: history });
  expect(await askOnce('/api/site')).toEqual({ path: '/api/site' });
  expect(asked).toHaveLength(2);
  // A second look is a question of its own.
  await loadHistory('gun-01', SPAN, POINTS);
  expect(asked).toHaveLength(3);
});

test('nothing is asked early where the address names no gun', () => {
  const asked = service(() => Response.json({}));
  askHistoryEarly('?from=2026-03-02T06:00:00Z');
  expect(asked).toEqual([]);
});

test('a fault of an early question is told to whoever asks for its answer, and to nobody else', async () => {
  service(() => Response.json({ title: 'Busy', detail: 'too much at once', code: 'BUSY' }, { status: 503 }));
  askHistoryEarly('?gun=gun-02');
  await expect(loadHistory('gun-02', {}, POINTS)).rejects.toThrow('Busy: too much at once');
  await expect(askOnce('/api/site')).rejects.toThrow('Busy: too much at once');
});
