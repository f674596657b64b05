import type { JSX } from 'preact';
import type { PartSight } from '../../../analyzer/index.ts';
import { Unbroken } from '../frame/unbroken.tsx';
import { decimal } from '../words/figures.ts';
import { causeName, channelName } from '../words/names.ts';
import { asSentence } from '../words/sentence.ts';
import { pressure, told, type Units } from '../words/units.ts';

/** How much the air by itself tells of a part. */
const SEEN: Readonly<Record<PartSight['seen'], string>> = {
  first: 'by the air',
  candidate: 'with its bench check',
  none: 'not seen',
};

/** What the channels fitted let be seen of each part: the smallest change, the spray hours to see it, and what would help where it is not seen. */
export function SightTable({ parts, units }: { parts: readonly PartSight[]; units: Units }): JSX.Element {
  if (parts.length === 0)
    return (
      <p class="soft">
        What its channels let be seen of each part is told here once its first spray runs have been analysed.
      </p>
    );
  return (
    <div class="table-wrap">
      <table class="rows stacked">
        <caption>Smaller changes, and what is not seen, go by interval and inspection.</caption>
        <thead>
          <tr>
            <th scope="col">Part</th>
            <th scope="col">Seen</th>
            <th scope="col">Smallest change</th>
            <th scope="col">Spray hours to tell it</th>
            <th scope="col">How, or why not</th>
            <th scope="col">Would help</th>
          </tr>
        </thead>
        <tbody>
          {parts.map((one) => (
            <tr key={one.part}>
              <th scope="row">{causeName(one.part)}</th>
              <td>{SEEN[one.seen]}</td>
              <td>{changeWords(one, units)}</td>
              <td>{one.sprayHours === null ? '–' : `${one.sprayHours}\u202fh`}</td>
              <td>
                <Unbroken text={asSentence(one.why)} />
              </td>
              <td>{one.missing.length === 0 ? '–' : one.missing.map(channelName).join(', ')}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

/** "10 % excess air", "12 % less conductance", "0.3 bar more sag of the inlet pressure". */
export function changeWords({ smallestChange: change, of }: PartSight, units: Units): string {
  if (change === null || of === null) return '–';
  if (of === 'inlet pressure, bar')
    return `${told(pressure(change, units), units === 'us' ? 1 : 2)} more sag of the inlet pressure`;
  const share = `${decimal(100 * change, change < 0.0995 ? 1 : 0)}\u202f%`;
  return of === 'excess air' ? `${share} excess air` : `${share} less conductance`;
}
