import type { JSX } from 'preact';
import type { Site } from '../server/endpoints/site.ts';

interface GunSelectProps {
  readonly guns: Site['guns'];
  readonly value: string;
  readonly onChoose: (gun: string) => void;
}

/** Which gun a page shows, by its name. */
export function GunSelect({ guns, value, onChoose }: GunSelectProps): JSX.Element {
  return (
    <label>
      Gun{' '}
      <select value={value} onChange={(event) => onChoose(event.currentTarget.value)}>
        {guns.map(({ id, name }) => (
          <option key={id} value={id}>
            {name}
          </option>
        ))}
      </select>
    </label>
  );
}
