import type { HistoryAnswer } from '../../../analyzer/index.ts';
import { askedFirst, historyPath, type Span } from '../../../collector/contract/history-look.ts';
import { askEarly, askOnce } from '../link/ask-early.ts';

/**
 * The past of a gun.
 *
 * @param points most points of one series
 * @throws {ApiFault} with the sentence to show
 */
export function loadHistory(gun: string, span: Partial<Span>, points: number): Promise<HistoryAnswer> {
  return askOnce<HistoryAnswer>(historyPath(gun, span, points));
}

/** Asks for what the page of this address shows first, while its script is still on its way. */
export function askHistoryEarly(search: string): void {
  for (const path of askedFirst(search)) askEarly(path);
}
