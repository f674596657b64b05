import type { JSX } from 'preact';
import type { MissingRuns } from '../../server/endpoints/missing-runs.ts';
import { dayAndClock, type TimeStyle } from '../words/site-time.ts';
import { useLoaded } from './use-loaded.ts';
import { Waiting } from './waiting.tsx';

interface Props {
  /** What stands below: "Hours", "Lives", "Costs". */
  readonly what: string;
  /** One gun's id; all guns where there is none. */
  readonly gun?: string;
  readonly style: TimeStyle;
}

/** Says of figures that they are reckoned without spray runs that are damaged on the disk, and which; nothing where there are none. */
export function WithoutRuns({ what, gun, style }: Props): JSX.Element {
  const { data, fault } = useLoaded<MissingRuns>('/api/missing-runs');
  const missing = data?.filter((one) => gun === undefined || one.gun === gun) ?? [];
  return (
    <>
      <Waiting fault={fault} empty={false} />
      {missing.map((one) => (
        <p class="doubt" key={`${one.gun} ${one.from}`}>
          <strong>{what} without some spray runs:</strong> those of {one.name} from{' '}
          {dayAndClock(Date.parse(one.from), style)} to {dayAndClock(Date.parse(one.to), style)} are damaged on the
          disk. <a href="/status">Status</a>
        </p>
      ))}
    </>
  );
}
