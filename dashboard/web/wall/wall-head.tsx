import type { JSX } from 'preact';
import { counted } from '../../../collector/contract/counted.ts';
import type { Wall } from '../../server/wall-model.ts';
import type { LinkState } from '../link/link-state.ts';
import { clock, day, dayOrMonth, since, type TimeStyle } from '../words/site-time.ts';
import { isSilent } from './gun-row-model.ts';

interface Props {
  readonly wall: Wall;
  readonly link: LinkState;
  readonly now: number;
  readonly style: TimeStyle;
}

/** The top line: whose wall it is and the time, or what keeps the wall from being true. */
export function WallHead({ wall, link, now, style }: Props): JSX.Element {
  const alarm = alarmOf(wall, link, now, style);
  return (
    <header class={`head ${alarm?.loud ? 'head-loud' : ''}`}>
      <h1 class="far">{wall.site.name}</h1>
      <p class="far head-says" role="status">
        {alarm?.text}
      </p>
      {!alarm?.loud && (
        <nav class="near" aria-label="Other screens">
          <a href="/jobs">Jobs in full</a>
          <a href="/log">Log work</a>
        </nav>
      )}
      {link.kind === 'live' && (
        <p class="far head-time">
          <span class="head-day">{day(now, style)}</span> <time>{clock(now, style)}</time>
        </p>
      )}
    </header>
  );
}

function alarmOf(wall: Wall, link: LinkState, now: number, style: TimeStyle): { text: string; loud: boolean } | null {
  if (link.kind === 'lost')
    return {
      text: `No connection. All below is from ${dayIfOther(link.lastTrueMs, now, style)}${clock(link.lastTrueMs, style)}.`,
      loud: true,
    };
  if (wall.trouble !== null) return { text: wall.trouble, loud: true };
  if (wall.analysedTo !== null)
    return { text: `Still reading the history: known up to ${dayOrMonth(wall.analysedTo, now, style)}.`, loud: true };
  const read = wall.guns.filter(({ newest }) => newest !== null);
  const silent = read.filter((gun) => isSilent(gun, now));
  if (silent.length === 0) return null;
  const last = Math.max(...silent.map(({ newest }) => newest ?? 0));
  if (silent.length === read.length && read.length > 1)
    return { text: `All guns silent since ${since(last, now, style)}. Hall off?`, loud: false };
  return { text: counted(silent.length, 'gun is silent', 'guns are silent'), loud: false };
}

const dayIfOther = (ms: number, now: number, style: TimeStyle): string =>
  day(ms, style) === day(now, style) ? '' : `${day(ms, style)}, `;
