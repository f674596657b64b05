import type { JSX } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import type { Settings } from '../../../collector/contract/index.ts';
import type { StatisticalParameter } from '../../server/endpoints/settings.ts';
import type { Site } from '../../server/endpoints/site.ts';
import { ApiFault, ask } from '../api.ts';
import { Unbroken } from '../frame/unbroken.tsx';
import { useAgain } from '../link/use-again.ts';
import { ChoiceField } from '../shop/field.tsx';
import { decimal } from '../words/figures.ts';
import type { Units } from '../words/units.ts';
import { parameterInUnits, saidInUnits } from './parameter-units.ts';
import { NAMES, TUNABLES } from './settings-model.ts';

/** How long typing has to pause before they are asked for anew, ms. Source: own choice. */
const PAUSE_MS = 300;

/** The statistics behind the settings as they are typed: read only, each with its unit, what it does and where it comes from. */
export function ExpertView({ settings, site }: { settings: Settings; site: Site }): JSX.Element {
  const [gun, setGun] = useState('');
  const [shown, setShown] = useState<readonly StatisticalParameter[] | null>(null);
  const [fault, setFault] = useState<string | null>(null);
  const [turn, setTurn] = useState(0);
  const body = JSON.stringify({ settings, ...(gun === '' ? {} : { gun }) });
  useEffect(() => {
    let isOld = false;
    const timer = setTimeout(() => {
      ask<StatisticalParameter[]>('/api/settings/parameters', {
        method: 'POST',
        headers: { 'Content-Type': 'application/json' },
        body,
      }).then(
        (told) => {
          if (isOld) return;
          setShown(told);
          setFault(null);
        },
        (error: unknown) => {
          if (!(error instanceof ApiFault)) throw error;
          if (!isOld) setFault(error.message);
        },
      );
    }, PAUSE_MS);
    return () => {
      isOld = true;
      clearTimeout(timer);
    };
  }, [body, turn]);
  useAgain(fault, () => setTurn((before) => before + 1));
  return (
    <section aria-label="Statistics behind the settings" class="expert">
      <h2 id="expert">Statistics behind the settings</h2>
      <p class="soft">
        What the settings above come to in the judge itself. Nothing here is set by hand: it moves with the settings, or
        belongs to the method.
      </p>
      {site.guns.length > 1 && (
        <ChoiceField
          label="For"
          value={gun}
          none="the whole hall"
          choices={site.guns.map(({ id, name }) => ({ value: id, name }))}
          onChoose={setGun}
        />
      )}
      {fault !== null && (
        <p class="fault" role="alert">
          {fault}
        </p>
      )}
      {shown === null && fault === null && <p class="soft">Loading…</p>}
      {shown &&
        [...TUNABLES, null].map((setting) => (
          <details key={setting ?? 'method'} id={expertId(setting)}>
            <summary>{setting === null ? 'Believed before a reading was seen' : NAMES[setting].name}</summary>
            <ParameterTable rows={shown.filter((one) => one.setting === setting)} units={site.units} />
          </details>
        ))}
    </section>
  );
}

interface TableProps {
  readonly rows: readonly StatisticalParameter[];
  readonly units: Units;
}

function ParameterTable({ rows, units }: TableProps): JSX.Element {
  return (
    <div class="table-room">
      <table class="figures stacked">
        <thead>
          <tr>
            <th scope="col">Parameter</th>
            <th scope="col">Value</th>
            <th scope="col">What it does</th>
            <th scope="col">Source</th>
          </tr>
        </thead>
        <tbody>
          {rows.map(({ name, what, follows, source, ...canonical }) => {
            const { value, unit } = parameterInUnits(canonical.value, canonical.unit, units);
            return (
              <tr key={name}>
                <th scope="row">{name}</th>
                <td>
                  <Unbroken text={`${decimal(value, digitsOf(value))} ${unit}`} />
                  <small>{follows ? 'moves with the setting' : 'fixed'}</small>
                </td>
                <td>
                  <Unbroken text={`${saidInUnits(what, units)}.`} />
                </td>
                <td>
                  <Unbroken text={`${source}.`} />
                </td>
              </tr>
            );
          })}
        </tbody>
      </table>
    </div>
  );
}

/** Three digits that count, no more. */
function digitsOf(value: number): number {
  const size = Math.abs(value);
  if (Number.isInteger(value) || size >= 100) return 0;
  return size >= 10 ? 1 : size >= 1 ? 2 : 3;
}

/** Where the statistics behind a setting stand on the page. */
export function expertId(setting: string | null): string {
  return `expert-${setting ?? 'method'}`;
}

/** Opens the statistics behind a setting and goes there. */
export function openExpert(setting: string): void {
  const place = document.getElementById(expertId(setting));
  if (!(place instanceof HTMLDetailsElement)) return;
  place.open = true;
  place.scrollIntoView();
  place.querySelector('summary')?.focus();
}
