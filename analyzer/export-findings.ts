import { openStore } from '../collector/index.ts';
import type { TextSink } from './batch/analyze-files.ts';
import { byRaised, findingLine } from './findings-ndjson.ts';

/**
 * The command `driftline export findings`: the last state of every finding that a store holds, as NDJSON.
 *
 * @throws {AppError} STORE_UNUSABLE: no store there, or not readable
 */
export async function exportFindings({
  dir,
  stdout,
}: {
  readonly dir: string;
  readonly stdout: TextSink;
}): Promise<void> {
  const store = openStore(dir);
  try {
    const findings = store.findings.list().map(({ finding }) => finding);
    for (const finding of findings.sort(byRaised)) await stdout.write(findingLine(finding));
  } finally {
    store.close();
  }
}
