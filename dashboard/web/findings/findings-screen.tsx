import type { JSX } from 'preact';
import { useCallback, useEffect, useState } from 'preact/hooks';
import './findings.css';
import type { Finding } from '../../../collector/contract/index.ts';
import type { Site } from '../../server/endpoints/site.ts';
import { ApiFault, ask } from '../api.ts';
import { SilentChangeList } from '../baseline/silent-change-list.tsx';
import { Frame } from '../frame/frame.tsx';
import { now } from '../link/live.ts';
import { useAgain } from '../link/use-again.ts';
import { inUnits } from '../words/in-units.ts';
import { causeName } from '../words/names.ts';
import { asSentence } from '../words/sentence.ts';
import { clock, day } from '../words/site-time.ts';
import { percent } from '../words/units.ts';
import { type Judgement, JudgeRow } from './judge-row.tsx';

/** Findings that are fetched at once. Source: own choice, some months of a hall. */
const PAGE = 50;

interface Loaded {
  readonly site: Site;
  readonly findings: readonly Finding[];
  readonly judgements: readonly Judgement[];
  /** True while there may be older ones. */
  readonly more: boolean;
}

/** Every finding with what became of it, and whether it was right: people's word is what limits are tuned by. */
export function FindingsScreen(): JSX.Element {
  const [loaded, setLoaded] = useState<Loaded | null>(null);
  const [fault, setFault] = useState<string | null>(null);

  const load = useCallback(async (older: Loaded | null): Promise<void> => {
    const last = older?.findings.at(-1);
    const before = last === undefined ? '' : `&before=${encodeURIComponent(last.raised)}`;
    try {
      const [site, findings, judgements] = await Promise.all([
        ask<Site>('/api/site'),
        ask<Finding[]>(`/api/findings?limit=${PAGE}${before}`),
        ask<Judgement[]>('/api/judgements'),
      ]);
      setLoaded({
        site,
        findings: [...(older?.findings ?? []), ...findings],
        judgements,
        more: findings.length === PAGE,
      });
      setFault(null);
    } catch (error) {
      if (!(error instanceof ApiFault)) throw error;
      setFault(error.message);
    }
  }, []);
  useEffect(() => void load(null), [load]);
  useAgain(loaded === null ? fault : null, () => load(null));

  return (
    <Frame title="Findings" page="findings">
      {fault !== null && (
        <p class="fault" role="alert">
          {fault}
        </p>
      )}
      {loaded === null && fault === null && <p>Loading…</p>}
      {loaded !== null && <SilentChangeList gun={null} site={loaded.site} />}
      {loaded !== null && loaded.findings.length === 0 && <p>Nothing was found yet.</p>}
      {loaded !== null && loaded.findings.length > 0 && (
        <>
          <p class="soft">
            Say whether a finding was right: limits are tried against it. What the log says of the part counts by
            itself; your word beats it, and can be taken back.
          </p>
          <ol class="findings">
            {loaded.findings.map((finding) => (
              <li key={`${finding.gun} ${finding.cause} ${finding.raised}`}>
                <FindingHead finding={finding} site={loaded.site} />
                <JudgeRow
                  finding={finding}
                  word={loaded.judgements.find((word) => isOn(word, finding)) ?? null}
                  onJudged={(word) =>
                    setLoaded({
                      ...loaded,
                      judgements: [...loaded.judgements.filter((one) => !isOn(one, finding)), word],
                    })
                  }
                />
              </li>
            ))}
          </ol>
          {loaded.more && (
            <button type="button" class="button" onClick={() => void load(loaded)}>
              Older findings
            </button>
          )}
        </>
      )}
    </Frame>
  );
}

function FindingHead({ finding, site }: { finding: Finding; site: Site }): JSX.Element {
  const { gun, guns = [], cause, raised, cleared, excessAir, candidates, evidence } = finding;
  const nameOf = (id: string): string => site.guns.find((one) => one.id === id)?.name ?? id;
  const told = (text: string): string => `${day(Date.parse(text), site, now.value)}, ${clock(Date.parse(text), site)}`;
  return (
    <>
      <h2>
        {gun === null ? guns.map(nameOf).join(', ') : nameOf(gun)}: {causeName(cause)}
      </h2>
      <p>
        Raised {told(raised)}, {cleared === null ? 'still open' : `cleared ${told(cleared)}`}
        {excessAir !== null && `; excess air ${percent(excessAir)}`}
        {candidates.length > 1 &&
          `; ${candidates.map((one) => `${causeName(one.cause).toLowerCase()} ${percent(one.probability)}`).join(', ')}`}
        .{' '}
        {gun !== null && (
          <a
            href={`/history?gun=${encodeURIComponent(gun)}&from=${encodeURIComponent(finding.onset)}&to=${encodeURIComponent(cleared ?? finding.asOf)}`}
          >
            History of it
          </a>
        )}
      </p>
      {evidence[0] !== undefined && <p class="soft">{asSentence(inUnits(evidence[0], site.units))}</p>}
    </>
  );
}

function isOn(word: Judgement, { gun, cause, raised }: Finding): boolean {
  return word.gun === gun && word.cause === cause && Date.parse(word.raised) === Date.parse(raised);
}
