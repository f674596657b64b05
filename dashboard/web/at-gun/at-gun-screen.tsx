import type { JSX } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import type { Recorded } from '../../server/endpoints/log.ts';
import type { Site } from '../../server/endpoints/site.ts';
import { ApiFault } from '../api.ts';
import { SilentChangeList } from '../baseline/silent-change-list.tsx';
import { knowChecks } from '../checks/known-checks.ts';
import { Frame } from '../frame/frame.tsx';
import { now } from '../link/live.ts';
import { faultOf, newKey, send } from '../shop/send.ts';
import { useLoaded } from '../shop/use-loaded.ts';
import { Waiting as Loading } from '../shop/waiting.tsx';
import { causeName } from '../words/names.ts';
import { GunHead } from './gun-head.tsx';
import { type GunNow, knownGun, loadGun, timeToWrite } from './gun-now.ts';
import type { Outcome } from './outcomes.ts';
import { put, sendWaiting, waiting } from './queue.ts';
import { Taps } from './taps.tsx';
import { WaitingList } from './waiting-list.tsx';

/** Source: own choice, because a person stands there and waits; it costs three short answers. */
const REFRESH_MS = 10_000;

/** The page that a label opens: one gun's state, and a change or check logged with three taps. */
export function AtGunScreen({ gun }: { gun: string | null }): JSX.Element {
  return (
    <Frame title="At the gun" page="at-gun">
      <p class="outside">Outside the booth and the classified area only: no phone or tablet goes in.</p>
      {gun === null ? <GunChoice /> : <OneGun key={gun} gun={gun} />}
    </Frame>
  );
}

function GunChoice(): JSX.Element {
  const { data, fault } = useLoaded<Site>('/api/site');
  return (
    <>
      <Loading fault={fault} empty={data === null} />
      <ul class="taps">
        {data?.guns.map(({ id, name }) => (
          <li key={id}>
            <a class="tap" href={`/at-gun/${encodeURIComponent(id)}`}>
              {name}
            </a>
          </li>
        ))}
      </ul>
    </>
  );
}

function OneGun({ gun }: { gun: string }): JSX.Element {
  const [state, setState] = useState<GunNow | null>(knownGun(gun));
  const [fault, setFault] = useState<string | null>(null);
  const [logged, setLogged] = useState<Recorded | null>(null);
  const [said, setSaid] = useState<string | null>(null);

  const refresh = async (): Promise<void> => {
    try {
      const confirmed = await sendWaiting();
      if (confirmed.length > 0) setLogged(confirmed.at(-1) ?? null);
      setState(await loadGun(gun));
      setFault(null);
    } catch (error) {
      if (!(error instanceof ApiFault)) throw error;
      setFault(
        error.problem
          ? error.message
          : 'No connection. You can log: it is kept here and sent when the network is back.',
      );
    }
  };
  useEffect(keepForOffline, []);
  useEffect(() => void knowChecks(), []);
  useEffect(() => {
    const again = (): void => void refresh();
    again();
    const timer = setInterval(again, REFRESH_MS);
    addEventListener('online', again);
    return () => {
      clearInterval(timer);
      removeEventListener('online', again);
    };
  }, []);

  const log = (part: string, outcome: Outcome): void => {
    const { action, found } = outcome;
    const time = new Date(timeToWrite(now.peek())).toISOString();
    const body = { gun, part, action, time, ...(found === null ? {} : { found }) };
    setLogged(null);
    setSaid(null);
    put({ key: newKey(), body, words: `${causeName(part)}: ${outcome.words.toLowerCase()}` });
    void refresh();
  };
  const undo = async (entry: Recorded): Promise<void> => {
    const refused = await faultOf(() => send('POST', `/api/log/${entry.id}/correct`, { why: 'undone at the gun' }));
    setSaid(refused ?? 'Taken back. It stays in the journal.');
    if (refused === null) setLogged(null);
    await refresh();
  };

  const known = state?.site.guns.find(({ id }) => id === gun);
  if (state && !known)
    return (
      <>
        <p class="fault" role="alert">
          No gun “{gun}” in this plant. Is the label of another site?
        </p>
        <GunChoice />
      </>
    );
  return (
    <>
      {fault !== null && (
        <p class="link-notice" role="status">
          {fault}
        </p>
      )}
      {state && known && <GunHead name={known.name} state={state} />}
      {!state && fault === null && <p>Loading…</p>}
      <div role="status">
        {logged && (
          <div class="done">
            <p>
              <strong>Logged.</strong> {causeName(logged.part)} {logged.action}
              {logged.found === null ? '' : `, found ${logged.found}`}.
            </p>
            <button type="button" class="tap tap-quiet" onClick={() => void undo(logged)}>
              Undo
            </button>
          </div>
        )}
        {said !== null && <p>{said}</p>}
      </div>
      {waiting.value.length > 0 && <WaitingList entries={waiting.value} onRetry={() => void refresh()} />}
      <Taps jobs={state?.jobs ?? []} parts={known?.parts ?? null} onLog={log} />
      {state && known && fault === null && (
        <SilentChangeList gun={gun} site={state.site} onChanged={() => void refresh()} />
      )}
    </>
  );
}

/** Lets this page open without network from now on. Browsers allow that over HTTPS only; over HTTP an open page still keeps what is logged. */
function keepForOffline(): void {
  if (location.protocol !== 'https:' || !('serviceWorker' in navigator)) return;
  navigator.serviceWorker.register('/at-gun/sw.js').catch((error: unknown) => {
    console.warn('this page will not open without network', error);
  });
}
