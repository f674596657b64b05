import type { JSX } from 'preact';
import { useCallback, useEffect, useMemo, useRef, useState } from 'preact/hooks';
import './settings.css';
import type { Settings } from '../../../collector/contract/index.ts';
import type { Site } from '../../server/endpoints/site.ts';
import { ApiFault, ask } from '../api.ts';
import { Frame } from '../frame/frame.tsx';
import { Adopt } from './adopt.tsx';
import { ExpertView } from './expert-view.tsx';
import { PromisePanel } from './promise-panel.tsx';
import { SettingsForm, settingsFrom, type Typed, typedFrom } from './settings-form.tsx';
import { differences, type Field, fieldsOf, type SettingsSchema, typedValue } from './settings-model.ts';
import { TryOut } from './try-out.tsx';
import { type Version, Versions } from './versions.tsx';

interface Loaded {
  readonly site: Site;
  readonly versions: readonly Version[];
  readonly fields: readonly Field[];
}

/** Source: own choice, because who types does not want an answer for every digit. */
const PAUSE_MS = 300;

/** Limits in the trade's terms: what follows from them, what they would have found, and which of them hold. */
export function SettingsScreen(): JSX.Element {
  const [loaded, setLoaded] = useState<Loaded | null>(null);
  const [typed, setTyped] = useState<Typed | null>(null);
  const [fault, setFault] = useState<string | null>(null);
  const [expected, setExpected] = useState<{ readonly of: string; readonly text: string } | null>(null);

  const load = useCallback(async (): Promise<void> => {
    try {
      const [site, versions, schema] = await Promise.all([
        ask<Site>('/api/site'),
        ask<Version[]>('/api/settings'),
        ask<SettingsSchema>('/api/settings/schema'),
      ]);
      const fields = fieldsOf(schema);
      setLoaded({ site, versions, fields });
      setTyped(typedFrom(versions[0]!.settings, fields));
      setFault(null);
    } catch (error) {
      if (!(error instanceof ApiFault)) throw error;
      setFault(error.message);
    }
  }, []);
  useEffect(() => void load(), [load]);

  const read = useMemo(
    () => (loaded === null || typed === null ? null : settingsFrom(typed, loaded.fields, typedValue)),
    [loaded, typed],
  );
  const isValid = read !== null && Object.keys(read.faults).length === 0;
  const follows = useFollows(isValid ? read.settings : null);
  const current = loaded?.versions[0];
  const changes = isValid && current !== undefined ? differences(current.settings, read.settings) : [];
  const text = isValid ? JSON.stringify(read.settings) : '';

  return (
    <Frame title="Settings" page="settings" wide>
      {fault !== null && (
        <p class="fault" role="alert">
          {fault}
        </p>
      )}
      {loaded === null && fault === null && <p>Loading…</p>}
      {loaded !== null && typed !== null && read !== null && current !== undefined && (
        <div class="settings">
          <section aria-label="Proposed settings">
            <h2>Proposed</h2>
            <p class="soft">
              Version {current.version} holds. Change values here, look at what follows, try them on the past, then
              adopt them.
            </p>
            <SettingsForm
              typed={typed}
              fields={loaded.fields}
              faults={read.faults}
              follows={follows}
              site={loaded.site}
              onChange={setTyped}
            />
            {changes.length > 0 && (
              <button type="button" class="button" onClick={() => setTyped(typedFrom(current.settings, loaded.fields))}>
                Back to what holds
              </button>
            )}
          </section>
          {isValid && (
            <TryOut
              settings={read.settings}
              site={loaded.site}
              onExpected={(of, told) => setExpected({ of, text: told })}
              onTake={(settings) => setTyped(typedFrom(settings, loaded.fields))}
            />
          )}
          {isValid && <PromisePanel settings={read.settings} />}
          {isValid && changes.length > 0 && (
            <Adopt
              settings={read.settings}
              after={current.version}
              changes={changes}
              expected={expected?.of === text ? expected.text : ''}
              onAdopted={() => void load()}
            />
          )}
          {isValid && <ExpertView settings={read.settings} site={loaded.site} />}
          <Versions versions={loaded.versions} site={loaded.site} onAdopted={() => void load()} />
        </div>
      )}
    </Frame>
  );
}

/** What follows from settings, asked for when typing pauses. */
function useFollows(settings: Settings | null): Readonly<Record<string, string>> {
  const [follows, setFollows] = useState<Readonly<Record<string, string>>>({});
  const text = settings === null ? null : JSON.stringify(settings);
  const newest = useRef(text);
  newest.current = text;
  useEffect(() => {
    if (text === null) return;
    const timer = setTimeout(() => {
      const body = `{"settings":${text}}`;
      ask<{ setting: string; text: string }[]>('/api/settings/consequences', {
        method: 'POST',
        headers: { 'Content-Type': 'application/json' },
        body,
      }).then(
        (told) => {
          if (newest.current === text) setFollows(Object.fromEntries(told.map((one) => [one.setting, one.text])));
        },
        (error: unknown) => {
          if (!(error instanceof ApiFault)) throw error;
          // The form works without them; the notice of a lost connection is shown by the frame.
          setFollows({});
        },
      );
    }, PAUSE_MS);
    return () => clearTimeout(timer);
  }, [text]);
  return follows;
}
