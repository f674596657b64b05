import type { JSX } from 'preact';
import type { WallGun } from '../../server/wall-model.ts';
import { logPath } from '../route.ts';
import { causeName } from '../words/names.ts';
import type { TimeStyle } from '../words/site-time.ts';
import { needsSomeone, STATES } from '../words/states.ts';
import { flow, percent, pressure, told } from '../words/units.ts';
import { DriftLine } from './drift-line.tsx';
import { type GunRowModel, gunRowModel, type RowFigures } from './gun-row-model.ts';
import { silentSince } from './silent-since.ts';
import { StateMark } from './state-mark.tsx';

interface Props {
  readonly gun: WallGun;
  readonly shortName: string;
  /** The service's clock, epoch ms. */
  readonly now: number;
  /** False when the connection is lost: nothing on the row is current then. */
  readonly live: boolean;
  readonly style: TimeStyle;
  /** True for a row without its small line. */
  readonly low: boolean;
  /** True for a row that another page of the wall shows; where there are no pages it is there all the same. */
  readonly away: boolean;
}

/** One gun: state, wear left, air now against needed, age of its data. */
export function GunRow({ gun, shortName, now, live, style, low, away }: Props): JSX.Element {
  const model = gunRowModel(gun, now);
  const current = live && model.markIsCurrent;
  const mark = live || needsSomeone(model.mark) ? model.mark : 'unknown';
  const kinds = [needsSomeone(gun.state) && 'gun-needs', low && 'gun-low', away && 'gun-away', !live && 'was'];
  return (
    <tr class={['gun', ...kinds.filter(Boolean)].join(' ')}>
      <td class="gun-mark">
        <StateMark state={mark} current={current} />
      </td>
      <th scope="row" class="gun-name far">
        <a href={logPath({ gun: gun.id })} title={`Log work on ${gun.name}`}>
          {shortName}
        </a>
        {shortName !== gun.name && <span class="unseen">{gun.name}</span>}
      </th>
      <Figures figures={model.figures} now={now} style={style} />
      {model.figures.kind !== 'silent' && model.figures.kind !== 'never' && (
        <td class="gun-age far">{live && model.age}</td>
      )}
      <td class="gun-more near">
        <span class="gun-says">
          {!gun.name.endsWith(shortName.slice(-4)) || shortName.includes('…') ? `${gun.name}. ` : ''}
          {more(gun, model, live, style)}
        </span>
        <DriftLine gun={gun} known={live && model.figures.kind === 'values'} />
      </td>
    </tr>
  );
}

function Figures({ figures, now, style }: { figures: RowFigures; now: number; style: TimeStyle }): JSX.Element {
  if (figures.kind !== 'values')
    return (
      <td class={`gun-words gun-${figures.kind} far`} colSpan={figures.kind === 'learning' ? 2 : 3}>
        {figures.kind === 'learning' && `learnt ${figures.have}/${figures.need}`}
        {figures.kind === 'silent' && silentSince(figures.sinceMs, now, style)}
        {figures.kind === 'never' && 'no reading yet'}
      </td>
    );
  const { wearLeft, actualAir, neededAir } = figures;
  const air = (m3h: number | null): string => (m3h === null ? '–' : flow(m3h, style.units).value.toFixed(1));
  return (
    <>
      <td class="gun-wear far">{wearLeft === null ? '–' : percent(wearLeft)}</td>
      <td class="gun-air far">
        {actualAir === null && neededAir === null ? '–' : `${air(actualAir)}/${air(neededAir)}`}
      </td>
    </>
  );
}

/** The small line: why it needs someone, or what it reads right now. */
function more(gun: WallGun, model: GunRowModel, live: boolean, style: TimeStyle): string {
  const said: string[] = [];
  if (needsSomeone(gun.state)) {
    const causes = gun.causes.map(causeName).join(', ').toLowerCase();
    said.push(`${STATES[gun.state ?? 'unknown'].words}${causes === '' ? '' : `: ${causes}`}`);
  }
  if (gun.state === 'learning' && gun.learning && model.figures.kind !== 'learning')
    said.push(`Learning ${gun.learning.signal}, ${gun.learning.have} of ${gun.learning.need}`);
  if (model.figures.kind === 'silent' && gun.online === false) said.push('Its node says it is off');
  if (live && model.age !== null) {
    const { spraying, flow: m3h, pressure: bar } = gun.reading;
    const read = [
      m3h === null ? null : told(flow(m3h, style.units), 2),
      bar === null ? null : told(pressure(bar, style.units), style.units === 'us' ? 1 : 2),
    ].filter((text) => text !== null);
    if (spraying === false) said.push('Idle');
    else if (read.length > 0) said.push(`${spraying ? 'Spraying ' : 'Reads '}${read.join(', ')}`);
  }
  return said.join('. ');
}
