import type { JSX } from 'preact';
import { useCallback, useEffect, useState } from 'preact/hooks';
import './findings.css';
import type { Finding } from '../../../collector/contract/index.ts';
import { withPowderNamed } from '../../../collector/contract/lot-words.ts';
import type { Site } from '../../server/endpoints/site.ts';
import { ApiFault, ask } from '../api.ts';
import { SilentChangeList } from '../baseline/silent-change-list.tsx';
import { Frame } from '../frame/frame.tsx';
import { Unbroken } from '../frame/unbroken.tsx';
import { now, wall } from '../link/live.ts';
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

  /** @param older what the next page goes below; null for the newest page, above what is there */
  const load = useCallback(async (older: Loaded | null): Promise<void> => {
    const last = older?.findings.at(-1);
    const before = last === undefined ? '' : `&before=${encodeURIComponent(last.raised)}`;
    try {
      const [site, findings, judgements] = await Promise.all([
        ask<Site>('/api/site'),
        ask<Finding[]>(`/api/findings?limit=${PAGE}${before}`),
        ask<Judgement[]>('/api/judgements'),
      ]);
      const isFull = findings.length === PAGE;
      setLoaded((before) => ({
        site,
        findings: older === null ? onTopOf(before?.findings ?? [], findings) : [...older.findings, ...findings],
        judgements,
        more: older === null && before !== null ? before.more : isFull,
      }));
      setFault(null);
    } catch (error) {
      if (!(error instanceof ApiFault)) throw error;
      setFault(error.message);
    }
  }, []);
  useEffect(() => void load(null), [load]);
  useAgain(fault, () => load(null));
  // A page that is left open shows what was raised and cleared since: jobs follow findings.
  const changed = JSON.stringify(wall.value?.jobs ?? null);
  useEffect(() => {
    if (loaded !== null) void load(null);
  }, [changed]);

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
          <p class="soft no-print findings-ask">
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
  const nameOf = (id: string): string => [...site.guns, ...site.air].find((one) => one.id === id)?.name ?? id;
  const isAll = guns.length > 2 && site.guns.every(({ id }) => guns.includes(id));
  const told = (text: string): string => `${day(Date.parse(text), site, now.value)}, ${clock(Date.parse(text), site)}`;
  return (
    <>
      <h2>
        {gun !== null ? nameOf(gun) : isAll ? 'All guns' : guns.map(nameOf).join(', ')}: {causeName(cause)}
      </h2>
      <p>
        Raised {told(raised)}, {cleared === null ? 'still open' : `cleared ${told(cleared)}`}
        {excessAir !== null && `; excess air ${percent(excessAir)}`}
        {candidates.length > 1 &&
          `; ${candidates.map((one) => `${causeName(one.cause).toLowerCase()} ${percent(one.probability)}`).join(', ')}`}
        .{' '}
        {site.guns.some(({ id }) => id === gun) && (
          <a
            href={`/history?gun=${encodeURIComponent(gun ?? '')}&from=${encodeURIComponent(finding.onset)}&to=${encodeURIComponent(cleared ?? finding.asOf)}`}
          >
            History of it
          </a>
        )}
      </p>
      {evidence[0] !== undefined && (
        <p class="soft">
          <Unbroken text={asSentence(inUnits(withPowderNamed(evidence[0], site.powders), site.units))} />
        </p>
      )}
    </>
  );
}

/** The newest findings, and below them those older ones that were paged to. */
function onTopOf(before: readonly Finding[], newest: readonly Finding[]): readonly Finding[] {
  const keyOf = ({ gun, cause, raised }: Finding): string => `${gun} ${cause} ${raised}`;
  const known = new Set(newest.map(keyOf));
  const last = newest.at(-1)?.raised;
  // One that is no longer among them was taken back by late readings.
  return [...newest, ...before.filter((one) => !known.has(keyOf(one)) && last !== undefined && one.raised < last)];
}

function isOn(word: Judgement, { gun, cause, raised }: Finding): boolean {
  return word.gun === gun && word.cause === cause && Date.parse(word.raised) === Date.parse(raised);
}
