import type { JSX } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import { counted } from '../../../collector/contract/counted.ts';
import { FOUND } from '../../../collector/contract/parts.ts';
import type { Recorded } from '../../server/endpoints/log.ts';
import type { SilentChanges } from '../../server/endpoints/silent-changes.ts';
import { ask } from '../api.ts';
import { wall } from '../link/live.ts';
import { useFault } from '../link/use-fault.ts';
import { useGoneOn } from '../link/use-gone-on.ts';
import { faultOf, send } from '../shop/send.ts';
import { Unfolded } from '../shop/unfolded.tsx';
import { useLoaded } from '../shop/use-loaded.ts';
import { mayDo } from '../sign-in/me.ts';
import { TimeField } from '../time-field.tsx';
import { whole } from '../words/figures.ts';
import { fromLocalField, localFieldValue } from '../words/local-field.ts';
import { causeName } from '../words/names.ts';
import { dayAndClock, type TimeStyle } from '../words/site-time.ts';
import { percent } from '../words/units.ts';

type Offered = SilentChanges['offered'][number];
type Named = TimeStyle & { readonly guns?: readonly { readonly id: string; readonly name: string }[] };

/** Changes that stand there at once: years of a log that was kept badly offer dozens, and what a page is for stands below them. Source: own choice. */
const AT_ONCE = 4;

interface Props {
  /** One gun; null for all. */
  readonly gun: string | null;
  readonly site: Named;
  readonly onChanged?: () => void;
}

/** Changes that the air shows and nobody logged: to be confirmed, which logs them, or dismissed; both can be taken back. Nothing where there is none. */
export function SilentChangeList({ gun, site, onChanged }: Props): JSX.Element | null {
  const { data, fault, reload } = useLoaded<SilentChanges>(
    `/api/silent-changes${gun === null ? '' : `?gun=${encodeURIComponent(gun)}`}`,
  );
  const [refused, setRefused] = useFault();
  const [logged, setLogged] = useState<Recorded | null>(null);
  const changed = JSON.stringify(wall.value?.guns ?? null);
  useEffect(() => {
    void reload();
  }, [changed]);
  const [heading, goOn] = useGoneOn<HTMLHeadingElement>(data);
  const act = async (work: () => Promise<unknown>): Promise<void> => {
    goOn();
    setRefused(await faultOf(work));
    await reload();
    onChanged?.();
  };
  const confirm = (change: Offered, found: string, doneAt: number | null): Promise<void> =>
    act(async () => {
      const { gun: of, part, time } = change;
      const at = doneAt === null ? null : new Date(doneAt).toISOString();
      const body = { gun: of, part, time, found: found === '' ? null : found, doneAt: at };
      setLogged(await send<Recorded>('POST', '/api/silent-changes/confirm', body));
    });
  const undo = (entry: Recorded): Promise<void> =>
    act(async () => {
      await send('POST', `/api/log/${entry.id}/correct`, { why: 'the confirmation was taken back' });
      setLogged(null);
    });
  const { offered = [], dismissed = [] } = data ?? {};
  if (offered.length + dismissed.length === 0 && logged === null && fault === null) return null;
  const nameOf = (id: string): string =>
    gun === null ? `${site.guns?.find((one) => one.id === id)?.name ?? id}: ` : '';
  const rowOf = (change: Offered, place: number): JSX.Element => (
    <li key={`${change.gun} ${change.part} ${change.time}`}>
      {nameOf(change.gun)}
      <OfferedRow
        {...{ change, site }}
        isOpen={place === 0}
        onConfirm={(found, doneAt) => void confirm(change, found, doneAt)}
        onDismiss={(reason) =>
          void act(() => {
            const { gun: of, part, time } = change;
            return send('POST', '/api/silent-changes/dismiss', { gun: of, part, time, reason });
          })
        }
      />
    </li>
  );
  return (
    <section class="silent-changes" aria-label="Changed without a word?">
      <h2 tabIndex={-1} ref={heading}>
        Changed without a word?
      </h2>
      {[refused, fault].map(
        (one) =>
          one !== null && (
            <p class="fault" role="alert" key={one}>
              {one}
            </p>
          ),
      )}
      <div role="status">
        {logged !== null && (
          <p>
            Logged: {nameOf(logged.gun)}
            {causeName(logged.part)} {logged.action}, {dayAndClock(Date.parse(logged.time), site)}.{' '}
            <button type="button" class="button" onClick={() => void undo(logged)}>
              Undo
            </button>
          </p>
        )}
      </div>
      <ul class="dashes">{offered.slice(0, AT_ONCE).map(rowOf)}</ul>
      {offered.length > AT_ONCE && (
        <Unfolded summary={`${offered.length - AT_ONCE} from before that`} isOnPaper>
          {() => <ul class="dashes">{offered.slice(AT_ONCE).map((change) => rowOf(change, AT_ONCE))}</ul>}
        </Unfolded>
      )}
      <ul class="dashes">
        {dismissed.map(({ id, gun: of, part, time, reason, who }) => (
          <li key={id} class="soft">
            {nameOf(of)}
            {causeName(part)}, {dayAndClock(Date.parse(time), site)}: dismissed by {who}, {reason}.{' '}
            {mayDo('fitter') && (
              <button
                type="button"
                class="button no-print"
                onClick={() => void act(() => ask(`/api/silent-changes/dismissals/${id}`, { method: 'DELETE' }))}
              >
                Take back
              </button>
            )}
          </li>
        ))}
      </ul>
    </section>
  );
}

interface RowProps {
  readonly change: Offered;
  readonly site: TimeStyle;
  /** Whether what can be said of it stands there at once. */
  readonly isOpen: boolean;
  /** `doneAt` in epoch ms; null for when the air shows it. */
  readonly onConfirm: (found: string, doneAt: number | null) => void;
  readonly onDismiss: (reason: string) => void;
}

function OfferedRow({ change, site, isOpen, onConfirm, onDismiss }: RowProps): JSX.Element {
  const { part, time, excessBefore, excessAfter, sprayHours } = change;
  const [found, setFound] = useState('');
  const [reason, setReason] = useState('');
  const shown = localFieldValue(Date.parse(time), site.timezone);
  const [done, setDone] = useState(shown);
  return (
    <>
      <strong>{causeName(part)}</strong>, {dayAndClock(Date.parse(time), site)}: excess air fell at once from{' '}
      {percent(excessBefore)} to {percent(excessAfter)}
      {sprayHours !== null && ` after ${counted(whole(sprayHours), 'spray hour')}`}, and no change is logged.{' '}
      {change.counted ? 'It is taken as changed already.' : 'It is not taken as changed until somebody says so.'}
      {mayDo('fitter') && (
        <details class="silent-do no-print" open={isOpen}>
          <summary>
            Confirm or dismiss
            <span class="unseen">
              {' '}
              {causeName(part)}, {dayAndClock(Date.parse(time), site)}
            </span>
          </summary>
          <div class="look-row">
            <label>
              Old part was{' '}
              <select value={found} onChange={(event) => setFound(event.currentTarget.value)}>
                <option value="">not known</option>
                {FOUND.map((word) => (
                  <option key={word} value={word}>
                    {word}
                  </option>
                ))}
              </select>
            </label>
            <TimeField label="Changed at" value={done} style={site} onValue={setDone} />
            <button
              type="button"
              class="button"
              onClick={() => onConfirm(found, done === shown ? null : fromLocalField(done, site.timezone))}
            >
              It was changed: log it
            </button>
          </div>
          <div class="look-row">
            <label>
              Why not <input maxLength={500} value={reason} onInput={(event) => setReason(event.currentTarget.value)} />
            </label>
            <button
              type="button"
              class="button"
              disabled={reason.trim() === ''}
              onClick={() => onDismiss(reason.trim())}
            >
              There was no change
            </button>
          </div>
        </details>
      )}
    </>
  );
}
