import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import type { Site } from '../../server/endpoints/site.ts';
import type { LifeAnswer, LifeGroup } from '../../server/shop/life-model.ts';
import { Frame } from '../frame/frame.tsx';
import { useLoaded } from '../shop/use-loaded.ts';
import { Waiting } from '../shop/waiting.tsx';
import { WithoutRuns } from '../shop/without-runs.tsx';
import { causeName } from '../words/names.ts';
import { powder } from '../words/shop-units.ts';
import { LifeSection } from './life-section.tsx';

export type By = 'all' | 'family' | 'gun';
export type Measure = 'sprayHours' | 'kilograms';
const BY: Readonly<Record<By, string>> = { all: 'All guns together', family: 'By powder family', gun: 'By gun' };
const MEASURES: Readonly<Record<Measure, string>> = { sprayHours: 'Spray hours', kilograms: 'Powder sprayed' };

/** Life statistics of the parts, part by part. */
export function LifeScreen(): JSX.Element {
  const [by, setBy] = useState<By>('all');
  const [measure, setMeasure] = useState<Measure>('sprayHours');
  const [part, setPart] = useState('');
  const { data, fault } = useLoaded<LifeAnswer>(`/api/life?by=${by}&measure=${measure}`);
  const site = useLoaded<Site>('/api/site');
  const parts = [...new Set(data?.groups.map((group) => group.part))];
  const shown = data?.groups.filter((group) => part === '' || group.part === part) ?? [];
  const scale = measure === 'kilograms' && site.data ? powder(1, site.data.units) : { value: 1, unit: 'h' };
  const name = (group: LifeGroup): string => {
    const of = by === 'gun' ? site.data?.guns.find(({ id }) => id === group.group)?.name : group.group;
    return of == null ? causeName(group.part) : `${causeName(group.part)}: ${of}`;
  };
  return (
    <Frame title="Lives of parts" page="life" wide>
      <div class="fields no-print">
        <Pick
          label="Part"
          value={part}
          onPick={setPart}
          options={[['', 'All'], ...parts.map((id) => [id, causeName(id)] as const)]}
        />
        <Pick label="Told apart" value={by} onPick={(value) => setBy(value as By)} options={Object.entries(BY)} />
        <Pick
          label="Measured in"
          value={measure}
          onPick={(value) => setMeasure(value as Measure)}
          options={Object.entries(MEASURES)}
        />
      </div>
      <Waiting fault={fault} empty={data === null} />
      {site.data && <WithoutRuns what="Lives" style={site.data} />}
      {data && data.groups.length === 0 && (
        <p>
          No life is known yet. A life begins with a logged change and ends with the next one: log what was found on the
          old part.
        </p>
      )}
      {data &&
        shown.map((group) => (
          <LifeSection key={name(group)} title={name(group)} group={group} unit={scale} currency={data.currency} />
        ))}
      {data && <LeftOut left={data.left} />}
      <p class="soft">
        A part that was found worn or failed ended its life there; one that was changed while good, or not looked at, or
        is still in use, was good for at least so long. Weibull distribution by maximum likelihood; 95 % limits from the
        Fisher information, normal on the log scale: with few ends they are too narrow.
      </p>
    </Frame>
  );
}

interface PickProps {
  readonly label: string;
  readonly value: string;
  readonly options: readonly (readonly [string, string])[];
  readonly onPick: (value: string) => void;
}

function Pick({ label, value, options, onPick }: PickProps): JSX.Element {
  return (
    <label class="field">
      <span>{label}</span>
      <select value={value} onChange={({ currentTarget }) => onPick(currentTarget.value)}>
        {options.map(([id, words]) => (
          <option key={id} value={id}>
            {words}
          </option>
        ))}
      </select>
    </label>
  );
}

function LeftOut({ left }: { left: LifeAnswer['left'] }): JSX.Element | null {
  const told = [
    left.noStart > 0 && `${left.noStart} fitted before the log begins`,
    left.noReadings > 0 && `${left.noReadings} fitted before the first reading`,
    left.notUsed > 0 && `${left.notUsed} with nothing sprayed`,
  ].filter((one) => one !== false);
  return told.length === 0 ? null : <p>Left out, because their age is not known: {told.join(', ')}.</p>;
}
