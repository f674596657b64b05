import type { JSX } from 'preact';
import { useEffect, useMemo, useRef, useState } from 'preact/hooks';
import './settings.css';
import type { Settings } from '../../../collector/contract/index.ts';
import { ApiFault, ask } from '../api.ts';
import { Frame } from '../frame/frame.tsx';
import { Adopt } from './adopt.tsx';
import { ExpertView } from './expert-view.tsx';
import { Meanwhile } from './meanwhile.tsx';
import { PromisePanel } from './promise-panel.tsx';
import { SettingsForm } from './settings-form.tsx';
import { differences, merged, typedValue } from './settings-model.ts';
import { TryOut } from './try-out.tsx';
import { settingsFrom, type Typed, typedFrom } from './typed-settings.ts';
import { type LoadedSettings, useVersions } from './use-versions.ts';
import { type Version, Versions } from './versions.tsx';

/** Source: own choice, because who types does not want an answer for every digit. */
const PAUSE_MS = 300;

/** Limits in the trade's terms: what follows from them, what they would have found, and which of them hold. */
export function SettingsScreen(): JSX.Element {
  const { loaded, fault, load } = useVersions();
  const [typed, setTyped] = useState<Typed | null>(null);
  /** The version that the typed values were made from. */
  const [base, setBase] = useState<Version | null>(null);
  const [expected, setExpected] = useState<{ readonly of: string; readonly text: string } | null>(null);
  const start = (from: LoadedSettings | null): void => {
    if (from === null) return;
    setTyped(typedFrom(from.versions[0]!.settings, from.fields, from.site));
    setBase(from.versions[0]!);
  };
  const proposed = useRef<HTMLHeadingElement>(null);
  /** What was pressed goes with what it did: who came by keys goes on at the values. */
  const goOn = (): void => proposed.current?.focus();
  const meanwhile = useRef<HTMLHeadingElement>(null);
  const [refusals, setRefusals] = useState(0);
  /** Whoever was refused because somebody else was first goes on at what that was; whoever only types stays there. */
  const overtaken = async (): Promise<void> => {
    await load();
    setRefusals((before) => before + 1);
  };
  useEffect(() => meanwhile.current?.focus(), [refusals]);
  const [adoptions, setAdoptions] = useState(0);
  const startAnew = async (): Promise<void> => {
    start(await load());
    setAdoptions((before) => before + 1);
  };

  const read = useMemo(
    () => (loaded === null || typed === null ? null : settingsFrom(typed, loaded.fields, typedValue, loaded.site)),
    [loaded, typed],
  );
  const isValid = read !== null && Object.keys(read.faults).length === 0;
  const follows = useFollows(isValid ? read.settings : null);
  const current = loaded?.versions[0];
  const changes =
    isValid && current !== undefined && loaded !== null
      ? differences(current.settings, read.settings, loaded.site)
      : [];
  const isUntouched =
    typed === null || base === null || loaded === null
      ? true
      : JSON.stringify(typed) === JSON.stringify(typedFrom(base.settings, loaded.fields, loaded.site));
  const since = loaded?.versions.filter(({ version }) => base !== null && version > base.version) ?? [];
  // Who typed nothing yet goes along with what others adopt.
  useEffect(() => {
    if (isUntouched && base?.version !== current?.version) start(loaded);
  }, [loaded]);
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
          {since.length > 0 && base !== null && (
            <Meanwhile
              base={base}
              since={since}
              site={loaded.site}
              heading={meanwhile}
              onMerge={() => {
                setTyped(typedFrom(merged(base.settings, read.settings, current.settings), loaded.fields, loaded.site));
                setBase(current);
                goOn();
              }}
              onMine={() => {
                setBase(current);
                goOn();
              }}
              onTheirs={() => {
                start(loaded);
                goOn();
              }}
            />
          )}
          <section aria-label="Proposed settings">
            <h2 tabIndex={-1} ref={proposed}>
              Proposed
            </h2>
            <p class="soft">
              Version {current.version} holds. Change values here, look at what follows, try them on the past, then
              adopt them.
            </p>
            <SettingsForm
              typed={typed}
              settings={read.settings}
              fields={loaded.fields}
              faults={read.faults}
              follows={follows}
              site={loaded.site}
              powders={loaded.powders}
              onChange={setTyped}
            />
            {changes.length > 0 && (
              <button
                type="button"
                class="button no-print"
                onClick={() => {
                  start(loaded);
                  goOn();
                }}
              >
                Back to what holds
              </button>
            )}
          </section>
          {!isValid && (
            <p role="status">
              Once what is marked above is put right these values can be tried on the past and adopted.
            </p>
          )}
          {isValid && (
            <TryOut
              settings={read.settings}
              site={loaded.site}
              onExpected={(of, told) => setExpected({ of, text: told })}
              onTake={(settings) => setTyped(typedFrom(settings, loaded.fields, loaded.site))}
            />
          )}
          {isValid && <PromisePanel settings={read.settings} />}
          {isValid && changes.length > 0 && (
            <Adopt
              settings={read.settings}
              site={loaded.site}
              after={(base ?? current).version}
              isOvertaken={since.length > 0}
              changes={changes}
              expected={expected?.of === text ? expected.text : ''}
              onAdopted={() => void startAnew()}
              onOvertaken={() => void overtaken()}
            />
          )}
          {isValid && <ExpertView settings={read.settings} site={loaded.site} />}
          <Versions
            versions={loaded.versions}
            site={loaded.site}
            adoptions={adoptions}
            onAdopted={() => void startAnew()}
            onOvertaken={() => void overtaken()}
          />
        </div>
      )}
    </Frame>
  );
}

const NOTHING: Readonly<Record<string, string>> = {};

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
  // Beside values of which some cannot be, sentences would be of those before.
  return text === null ? NOTHING : follows;
}
