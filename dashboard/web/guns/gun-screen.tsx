import type { JSX } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import { counted } from '../../../collector/contract/counted.ts';
import type { GunSight } from '../../server/endpoints/sight.ts';
import type { GunPage } from '../../server/upkeep/upkeep-model.ts';
import { SilentChangeList } from '../baseline/silent-change-list.tsx';
import { Frame } from '../frame/frame.tsx';
import { JobTable } from '../jobs/job-table.tsx';
import { at } from '../jobs/job-words.ts';
import { wall } from '../link/live.ts';
import { useFault } from '../link/use-fault.ts';
import { DueTable } from '../plan/due-table.tsx';
import { logPath } from '../route.ts';
import { Folded } from '../shop/folded.tsx';
import { faultOf, send } from '../shop/send.ts';
import { useLoaded } from '../shop/use-loaded.ts';
import { Waiting } from '../shop/waiting.tsx';
import { WithoutRuns } from '../shop/without-runs.tsx';
import { mayDo } from '../sign-in/me.ts';
import { StateMark } from '../wall/state-mark.tsx';
import { whole } from '../words/figures.ts';
import { STATES } from '../words/states.ts';
import { mass, told } from '../words/units.ts';
import { PartsTable } from './parts-table.tsx';
import { SightTable } from './sight-table.tsx';

/** Everything of one gun: state, parts with their counters, what is due, jobs, service. */
export function GunScreen({ gun }: { gun: string }): JSX.Element {
  const { data, fault, reload } = useLoaded<GunPage>(`/api/guns/${encodeURIComponent(gun)}`);
  const sight = useLoaded<GunSight>(`/api/guns/${encodeURIComponent(gun)}/sight`);
  const changed = JSON.stringify(wall.value?.jobs ?? null);
  useEffect(() => {
    void reload();
    void sight.reload();
  }, [changed]);
  const style = wall.value?.site ?? null;
  const ended = data?.jobs.filter(({ state }) => state === 'proven' || state === 'gone').slice(0, 15) ?? [];
  const due = data?.due.filter((one) => one.due !== null).slice(0, 8) ?? [];
  const shown = wall.value?.guns.find(({ id }) => id === gun) ?? null;
  return (
    <Frame title={data?.name ?? gun} page="guns" wide>
      <Waiting fault={fault} empty={data === null} />
      {data && style && (
        <>
          {shown && (
            <p class="gun-state">
              <StateMark state={shown.state ?? 'unknown'} />{' '}
              {shown.state === null ? 'Not analysed yet' : STATES[shown.state].words}
            </p>
          )}
          <JobTable
            caption="Jobs"
            named={false}
            jobs={data.jobs.filter(({ state }) => state !== 'proven' && state !== 'gone')}
            style={style}
          />
          <dl class="facts">
            <div>
              <dt>Sprayed in all</dt>
              <dd>
                {data.sprayed && counted(whole(data.sprayed.sprayHours), 'spray hour')}
                {data.sprayed?.kilograms != null && `, ${told(mass(data.sprayed.kilograms, style.units), 0)}`}
              </dd>
            </div>
            <div>
              <dt>As of late</dt>
              <dd>{(8 * data.pace.perWorkingHour).toFixed(1)} spray hours in a shift of 8 h</dd>
            </div>
          </dl>
          {sight.data?.wornDoubt != null && (
            <p class="doubt">
              <strong>May have learnt wear as normal.</strong> {sight.data.wornDoubt}{' '}
              <a href={`/baseline?gun=${encodeURIComponent(gun)}`}>Baseline</a>
            </p>
          )}
          <Service page={data} onDone={() => void reload()} style={style} />
          <p class="no-print job-sheet-do">
            <a class="button" href={logPath({ gun, part: null, action: null })}>
              Log work
            </a>{' '}
            <a class="button" href={`/history?gun=${encodeURIComponent(gun)}`}>
              History
            </a>{' '}
            <a class="button" href={`/baseline?gun=${encodeURIComponent(gun)}`}>
              Baseline
            </a>
          </p>
          <SilentChangeList gun={gun} site={style} onChanged={() => void reload()} />
          <WithoutRuns what="Hours" gun={gun} style={style} />
          <Folded title="Parts" onPaper>
            <PartsTable parts={data.parts} style={style} />
          </Folded>
          {due.length > 0 && (
            <Folded title="Next by plan" onPaper>
              <DueTable caption="By due time." {...{ due, style }} named={false} />
            </Folded>
          )}
          <Folded title="What can be seen with the channels fitted" onPaper>
            <Waiting fault={sight.fault} empty={sight.data === null} />
            {sight.data && <SightTable parts={sight.data.parts} units={style.units} />}
          </Folded>
          {ended.length > 0 && (
            <Folded title="Ended jobs" onPaper>
              <JobTable caption="Newest first." ended named={false} jobs={ended} style={style} />
            </Folded>
          )}
        </>
      )}
    </Frame>
  );
}

/** In service or not, and how to change that. */
function Service({
  page,
  style,
  onDone,
}: {
  page: GunPage;
  style: Parameters<typeof at>[1];
  onDone: () => void;
}): JSX.Element {
  const [reason, setReason] = useState('');
  const [fault, setFault] = useFault();
  const out = page.outOfService;
  const act = async (outOfService: { reason: string } | null): Promise<void> => {
    setFault(
      await faultOf(() =>
        send('PUT', `/api/guns/${encodeURIComponent(page.gun)}/service`, {
          version: page.service.version,
          outOfService,
        }),
      ),
    );
    onDone();
  };
  return (
    <section class="service">
      {fault !== null && (
        <p class="fault" role="alert">
          {fault}
        </p>
      )}
      {out !== null && (
        <p>
          <strong>Out of service</strong> since {at(out.from, style)}
          {out.until !== null && `, until ${at(out.until, style)}`}: {out.reason}. Its alerts are suppressed by design
          until it sprays again.
        </p>
      )}
      {mayDo('fitter') && (
        <details class="no-print">
          <summary>{out === null ? 'Take out of service' : 'Put back into service'}</summary>
          <form
            class="deeds-form"
            onSubmit={(event) => {
              event.preventDefault();
              void act(out === null ? { reason: reason.trim() } : null);
            }}
          >
            {out === null && (
              <label class="field">
                <span>Reason</span>
                <input
                  type="text"
                  maxLength={300}
                  value={reason}
                  onInput={(event) => setReason(event.currentTarget.value)}
                />
              </label>
            )}
            <button type="submit" class="button" disabled={out === null && reason.trim() === ''}>
              {out === null ? 'Out of service' : 'Back into service'}
            </button>
          </form>
        </details>
      )}
    </section>
  );
}
