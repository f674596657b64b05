import type { JSX } from 'preact';
import { useEffect, useRef } from 'preact/hooks';
import type { Settings } from '../../../collector/contract/index.ts';
import type { Site } from '../../server/endpoints/site.ts';
import { ApiFault, ask } from '../api.ts';
import { useFault } from '../link/use-fault.ts';
import { mayDo } from '../sign-in/me.ts';
import { asSentence } from '../words/sentence.ts';
import { dayAndClock, withLocalTimes } from '../words/site-time.ts';
import { differences } from './settings-model.ts';

/** One version as the API tells it; times are ISO 8601. */
export interface Version {
  readonly version: number;
  readonly adopted: string;
  readonly recordedAt: string;
  readonly who: string;
  readonly why: string;
  readonly expected: string;
  readonly settings: Settings;
}

interface Props {
  /** Newest first. */
  readonly versions: readonly Version[];
  readonly site: Site;
  /** How often somebody at this page has made another version hold: then the newest takes the focus, as what they pressed may be gone. */
  readonly adoptions: number;
  readonly onAdopted: () => void;
  /** Somebody else was first. */
  readonly onOvertaken: () => void;
}

/** Every version of the settings: who, when, why, what changed, what was expected; and the way back. */
export function Versions({ versions, site, adoptions, onAdopted, onOvertaken }: Props): JSX.Element {
  const list = useRef<HTMLOListElement>(null);
  useEffect(() => {
    if (adoptions > 0) list.current?.querySelector('p')?.focus();
  }, [adoptions]);
  const [fault, setFault] = useFault();
  const current = versions[0]!;
  const revert = async (to: number): Promise<void> => {
    setFault(null);
    try {
      await ask('/api/settings/revert', {
        method: 'POST',
        headers: { 'Content-Type': 'application/json' },
        body: JSON.stringify({ to, after: current.version }),
      });
      onAdopted();
    } catch (error) {
      if (!(error instanceof ApiFault)) throw error;
      setFault(error.message);
      if (error.problem?.code === 'EDITED_MEANWHILE') onOvertaken();
    }
  };
  return (
    <section aria-label="Versions">
      <h2>Versions</h2>
      {fault !== null && (
        <p class="fault" role="alert">
          {asSentence(withLocalTimes(fault, site))}
        </p>
      )}
      <ol class="versions" ref={list}>
        {versions.map((one, index) => {
          const before = versions[index + 1];
          const changes = before === undefined ? [] : differences(before.settings, one.settings, site);
          return (
            <li key={one.version}>
              <p tabIndex={index === 0 ? -1 : undefined}>
                <strong>
                  Version {one.version}
                  {index === 0 && ', holds now'}
                </strong>
                , by {one.who}, {dayAndClock(Date.parse(one.recordedAt), site)}: {one.why || 'no reason given'}
              </p>
              {changes.length > 0 && (
                <ul class="dashes">
                  {changes.map((line) => (
                    <li key={line}>{line}</li>
                  ))}
                </ul>
              )}
              {one.expected !== '' && <p class="soft">Expected, {one.expected}.</p>}
              {index > 0 && mayDo('engineer') && (
                <button type="button" class="button no-print" onClick={() => void revert(one.version)}>
                  Back to version {one.version}
                </button>
              )}
            </li>
          );
        })}
      </ol>
    </section>
  );
}
