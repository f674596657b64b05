import { signal } from '@preact/signals';
import type { ComponentChildren, JSX } from 'preact';
import { useEffect, useMemo } from 'preact/hooks';
import { counted } from '../../../collector/contract/counted.ts';
import { whole } from '../words/figures.ts';
import './status.css';
import type { Status } from '../../server/endpoints/status.ts';
import { ApiFault, ask } from '../api.ts';
import { Frame } from '../frame/frame.tsx';
import type { Loaded } from '../jobs/load-jobs.ts';
import { wall } from '../link/live.ts';
import { age } from '../words/ages.ts';
import { dayAndClock } from '../words/site-time.ts';
import { AlertLoad } from './alert-load.tsx';
import { Damaged } from './damaged.tsx';
import { bytes, clockWords, days, growthWords } from './status-words.ts';

/** How often the page asks anew, ms. Source: own choice: ages are shown by the minute and the disk by the day. */
const REFRESH_MS = 10_000;

/** The service itself, for whoever runs it: disk, stations, what was refused, the long-term store. */
export function StatusScreen(): JSX.Element {
  const { status, start } = useMemo(followStatus, []);
  useEffect(() => start(), [start]);
  const { value, fault } = status.value;
  return (
    <Frame title="Status" page="status" wide>
      {fault !== null && (
        <p class="fault" role="alert">
          {fault}
        </p>
      )}
      {value === null && fault === null && <p>Loading…</p>}
      {value !== null && <StatusTables status={value} />}
      <AlertLoad />
    </Frame>
  );
}

function followStatus() {
  const status = signal<Loaded<Status>>({ value: null, fault: null });
  const load = async (): Promise<void> => {
    try {
      status.value = { value: await ask<Status>('/api/status'), fault: null };
    } catch (error) {
      if (!(error instanceof ApiFault)) throw error;
      status.value = { value: status.peek().value, fault: error.message };
    }
  };
  const start = (): (() => void) => {
    void load();
    const timer = setInterval(() => void load(), REFRESH_MS);
    return () => clearInterval(timer);
  };
  return { status, start };
}

function StatusTables({ status }: { status: Status }): JSX.Element {
  const { trouble, disk, retention, stations, refused, damaged, historian, startedAt } = status;
  const style = wall.value?.site ?? null;
  const moment = (iso: string): string => (style === null ? iso : dayAndClock(Date.parse(iso), style));
  return (
    <div class="status">
      {[trouble, disk.warning].map((sentence) =>
        sentence === null ? null : (
          <p class="fault" role="alert" key={sentence}>
            {sentence}
          </p>
        ),
      )}
      {damaged.length > 0 && <Damaged damaged={damaged} moment={moment} />}
      <h2>Disk</h2>
      <dl class="facts">
        <Fact name="Store">{bytes(disk.usedBytes)}</Fact>
        <Fact name="Free">{bytes(disk.freeBytes)}</Fact>
        <Fact name="Growth">{growthWords(disk.growthBytesPerDay)}</Fact>
        <Fact name="Full in">
          {disk.daysLeft !== null
            ? days(disk.daysLeft)
            : disk.growthBytesPerDay === null
              ? 'not known yet'
              : 'never, at this rate'}
        </Fact>
        <Fact name="Kept">
          raw readings {kept(retention.rawDays)}, thinned readings {kept(retention.thinnedDays)}, spray runs{' '}
          {kept(retention.runsDays)}
        </Fact>
        <Fact name="Running since">{moment(startedAt)}</Fact>
      </dl>
      <h2>Stations</h2>
      <div class="table-wrap">
        <table class="rows stacked">
          <thead>
            <tr>
              <th scope="col">Station</th>
              <th scope="col">Newest reading</th>
              <th scope="col">Node</th>
              <th scope="col">Clock</th>
            </tr>
          </thead>
          <tbody>
            {stations.map(({ id, name, ageSeconds, lost, online, clockOffsetSeconds }) => (
              <tr key={id}>
                <th scope="row">{name}</th>
                <td>
                  {ageSeconds === null ? 'never' : `${age(ageSeconds * 1000)} ago`}
                  {lost && <strong> – no data</strong>}
                </td>
                <td>{online === null ? 'not told' : online ? 'online' : <strong>offline</strong>}</td>
                <td>
                  {clockOffsetSeconds === null ? 'right' : <strong>{clockWords(clockOffsetSeconds)}, corrected</strong>}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      <h2>Refused</h2>
      {refused.length === 0 ? (
        <p>Nothing was refused.</p>
      ) : (
        <div class="table-wrap">
          <table class="rows stacked">
            <thead>
              <tr>
                <th scope="col">Reason</th>
                <th scope="col" class="number">
                  Received
                </th>
                <th scope="col" class="number">
                  Kept to read
                </th>
                <th scope="col" class="number">
                  Dropped as oldest
                </th>
              </tr>
            </thead>
            <tbody>
              {refused.map(({ reason, means, received, kept, dropped }) => (
                <tr key={reason}>
                  <th scope="row">{means}</th>
                  <td class="number">{whole(received)}</td>
                  <td class="number">{whole(kept)}</td>
                  <td class="number">{whole(dropped)}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      )}
      {historian !== null && (
        <>
          <h2>Long-term store</h2>
          {historian.fault !== null && (
            <p class="fault" role="alert">
              {historian.fault}
            </p>
          )}
          <dl class="facts">
            <Fact name="Where">{historian.target}</Fact>
            <Fact name="Delivered since the start">{counted(whole(historian.delivered), 'point')}</Fact>
            <Fact name="Waiting">
              {historian.waiting === 0 ? 'nothing' : counted(whole(historian.waiting), 'piece')}
            </Fact>
            <Fact name="All delivered at">
              {historian.caughtUpAt === null ? 'not yet' : moment(historian.caughtUpAt)}
            </Fact>
          </dl>
        </>
      )}
    </div>
  );
}

function Fact({ name, children }: { name: string; children: ComponentChildren }): JSX.Element {
  return (
    <div>
      <dt>{name}</dt>
      <dd>{children}</dd>
    </div>
  );
}

function kept(limit: number): string {
  return limit === 0 ? 'for ever' : days(limit);
}
