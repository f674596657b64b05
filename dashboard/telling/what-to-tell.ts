import type { Finding } from '../../collector/contract/index.ts';

/** Something that happened to a finding. */
export interface News {
  readonly type: 'finding.raised' | 'finding.cleared';
  readonly finding: Finding;
  /** Tells this news from all other. */
  readonly key: string;
}

/** Source: own choice: what is older is history that arrives late, and stands in reports and digests. */
export const NEWS_MS = 24 * 3_600_000;

/**
 * What of the findings is news: raised or cleared within the last day.
 *
 * @param now wall clock, epoch ms
 */
export function newsOf(findings: readonly Finding[], now: number): News[] {
  const recent = (time: string | null): boolean => time !== null && now - Date.parse(time) < NEWS_MS;
  return findings.flatMap((finding): News[] => {
    const key = `${finding.gun ?? finding.guns?.join('+') ?? ''}:${finding.cause}:${finding.raised}`;
    return [
      // One that was over before it could be told is no news.
      ...(recent(finding.raised) && finding.cleared === null
        ? [{ type: 'finding.raised' as const, finding, key: `raised:${key}` }]
        : []),
      ...(recent(finding.cleared) ? [{ type: 'finding.cleared' as const, finding, key: `cleared:${key}` }] : []),
    ];
  });
}
