import { signal } from '@preact/signals';
import type { JSX } from 'preact';
import { useEffect, useRef } from 'preact/hooks';
import type { Recorded } from '../../server/endpoints/log.ts';
import type { Site } from '../../server/endpoints/site.ts';
import { ApiFault, ask } from '../api.ts';
import { Frame } from '../frame/frame.tsx';
import type { LogPreset } from '../route.ts';
import { clock } from '../words/site-time.ts';
import { type Draft, EMPTY, inWords, isAction } from './draft.ts';
import { LatestEntries } from './latest-entries.tsx';
import { LogForm } from './log-form.tsx';
import { SUBJECT_IDS } from './subjects.ts';

/** Source: own choice, because a shift seldom logs more and the list stays in sight. */
const SHOWN = 8;

const site = signal<Site | null>(null);
const entries = signal<readonly Recorded[]>([]);
const fault = signal<string | null>(null);
const logged = signal<Recorded | null>(null);

/** Logs what was done to a gun, and shows what was logged last. */
export function LogScreen({ preset }: { preset: LogPreset }): JSX.Element {
  const done = useRef<HTMLElement>(null);
  useEffect(() => {
    void load();
  }, []);
  useEffect(() => {
    if (logged.value) done.current?.focus();
  }, [logged.value]);
  const plant = site.value;
  return (
    <Frame title="Log work" page="log">
      <p class="soft">Phones and tablets stay outside booths and classified areas.</p>
      {fault.value !== null && (
        <p class="fault" role="alert">
          {fault.value}
        </p>
      )}
      {!plant && fault.value === null && <p>Loading…</p>}
      {plant && logged.value && (
        <section class="done" role="status" tabIndex={-1} ref={done} aria-label="Logged">
          <p>
            <strong>Logged.</strong> {inWords(logged.value, nameOf(plant, logged.value.gun))}, at{' '}
            {clock(Date.parse(logged.value.time), plant)}.
          </p>
          <p>
            Wrong? Take it back or put it right in the <a href="/reports/journal">journal</a>; this one stays on record.
          </p>
        </section>
      )}
      {plant && (
        <LogForm
          site={plant}
          preset={draftFrom(preset, plant)}
          onLogged={(entry) => {
            logged.value = entry;
            void load();
          }}
        />
      )}
      {plant && <LatestEntries entries={entries.value} site={plant} />}
    </Frame>
  );
}

const nameOf = (plant: Site, gun: string): string => plant.guns.find(({ id }) => id === gun)?.name ?? gun;

/** What an address presets, as far as this plant has it. */
function draftFrom({ gun, part, action }: LogPreset, plant: Site): Draft {
  const one = plant.guns.find(({ id }) => id === gun);
  const has = (id: string): boolean => id.startsWith('sensor:') || (one?.parts.some((own) => own === id) ?? true);
  return {
    ...EMPTY,
    gun: one?.id ?? null,
    part: part !== null && SUBJECT_IDS.includes(part) && has(part) ? part : null,
    action: isAction(action) ? action : null,
  };
}

async function load(): Promise<void> {
  try {
    const [plant, latest] = await Promise.all([ask<Site>('/api/site'), ask<Recorded[]>(`/api/log?limit=${SHOWN}`)]);
    site.value ??= plant;
    entries.value = latest;
    fault.value = null;
  } catch (error) {
    if (!(error instanceof ApiFault)) throw error;
    fault.value = error.message;
  }
}
