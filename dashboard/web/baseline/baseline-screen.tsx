import type { JSX } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import './baseline.css';
import type { BaselineAnswer } from '../../../analyzer/index.ts';
import type { Site } from '../../server/endpoints/site.ts';
import { Frame } from '../frame/frame.tsx';
import { GunSelect } from '../gun-select.tsx';
import { wall } from '../link/live.ts';
import { useLoaded } from '../shop/use-loaded.ts';
import { Waiting } from '../shop/waiting.tsx';
import { LACKING } from '../words/baseline-words.ts';
import { dayAndClock } from '../words/site-time.ts';
import { CurveView } from './curve-view.tsx';
import { LearnAnew } from './learn-anew.tsx';
import { LevelFacts } from './level-facts.tsx';
import { SilentChangeList } from './silent-change-list.tsx';
import { TaughtTables } from './taught-tables.tsx';

/** What is normal for a gun: its pump curve, what taught it, and how to have it learnt anew. */
export function BaselineScreen(): JSX.Element {
  const { data: site, fault } = useLoaded<Site>('/api/site');
  const [gun, setGun] = useState<string | null>(new URLSearchParams(location.search).get('gun'));
  useEffect(() => {
    const back = (): void => setGun(new URLSearchParams(location.search).get('gun'));
    addEventListener('popstate', back);
    return () => removeEventListener('popstate', back);
  }, []);
  const shown = gun ?? site?.guns[0]?.id ?? null;
  return (
    <Frame title="Baseline" page="baseline" wide>
      <Waiting fault={fault} empty={site === null} />
      {site !== null && shown === null && <p>The plant has no guns yet.</p>}
      {site !== null && shown !== null && (
        <>
          <p class="look-row no-print">
            <GunSelect
              guns={site.guns}
              value={shown}
              onChoose={(next) => {
                history.pushState(null, '', `/baseline?gun=${encodeURIComponent(next)}`);
                setGun(next);
              }}
            />
            <a class="button" href={`/history?gun=${encodeURIComponent(shown)}`}>
              History
            </a>
            <a class="button" href={`/guns/${encodeURIComponent(shown)}`}>
              Parts and jobs
            </a>
          </p>
          {site.guns.some(({ id }) => id === shown) ? (
            <OneBaseline key={shown} gun={shown} site={site} />
          ) : (
            <p class="fault" role="alert">
              There is no gun “{shown}” in this plant.
            </p>
          )}
        </>
      )}
    </Frame>
  );
}

/** Readings older than this are said to be, ms. Source: own choice, a day without spraying. */
const STALE_MS = 24 * 3_600_000;

/** All runs of the site are read for the first answer. Source: own choice, years of them take seconds on a small machine. */
const PATIENCE_MS = 60_000;

function OneBaseline({ gun, site }: { gun: string; site: Site }): JSX.Element {
  const { data, fault, reload } = useLoaded<BaselineAnswer>(
    `/api/guns/${encodeURIComponent(gun)}/baseline`,
    PATIENCE_MS,
  );
  // What is believed moves with findings and jobs; each run would be too often.
  const changed = JSON.stringify(wall.value?.jobs ?? null);
  useEffect(() => {
    void reload();
  }, [changed]);
  const name = site.guns.find(({ id }) => id === gun)?.name ?? gun;
  const now = wall.value?.now ?? null;
  return (
    <div class="baseline">
      <Waiting
        fault={fault}
        empty={data === null}
        says="Loading… All runs of the hall are read for the first answer; years of them take a while."
      />
      {data !== null && (
        <>
          <p role="status">
            {name}
            {data.from === null
              ? '.'
              : `: ${data.learntAnew ? 'learnt anew from' : 'learnt from'} ${dayAndClock(data.from, site)} on`}
            {data.asOf !== null && `, as of ${dayAndClock(data.asOf, site)}.`}
            {data.asOf !== null && now !== null && now - data.asOf > STALE_MS && ' The gun has not sprayed since.'}
          </p>
          {data.doubt !== null && (
            <p class="doubt">
              <strong>May have learnt wear as normal.</strong> {data.doubt.sentence}
            </p>
          )}
          {data.lacking !== null && <p>{LACKING[data.lacking]}</p>}
          {data.powders.length > 0 && <CurveView answer={data} site={site} name={name} />}
          <LevelFacts answer={data} site={site} />
          <TaughtTables answer={data} site={site} />
        </>
      )}
      <SilentChangeList gun={gun} site={site} onChanged={() => void reload()} />
      <LearnAnew gun={gun} site={site} onChanged={reload} />
    </div>
  );
}
