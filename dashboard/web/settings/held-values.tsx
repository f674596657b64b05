import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import type { Settings } from '../../../collector/contract/index.ts';
import { PART_IDS } from '../../../collector/contract/parts.ts';
import { originsFor, settingsFor } from '../../../collector/contract/settings-for.ts';
import type { Site } from '../../server/endpoints/site.ts';
import { ChoiceField } from '../shop/field.tsx';
import { powderName } from '../words/baseline-words.ts';
import { causeName } from '../words/names.ts';
import { NAMES, type Override, shownValue, subjectName, TUNABLES } from './settings-model.ts';

interface Props {
  readonly settings: Settings;
  readonly site: Site;
  readonly powders: readonly string[];
}

/** What holds for a gun, a powder and a part once all other values are laid over the hall's, and where each value comes from. */
export function HeldValues({ settings, site, powders }: Props): JSX.Element {
  const [gun, setGun] = useState('');
  const [powder, setPowder] = useState('');
  const [part, setPart] = useState('');
  const subject = { gun: gun || undefined, powder: powder || undefined, part: part || undefined };
  const held = settingsFor(settings, subject);
  const origins = originsFor(settings, subject);
  const told = (origin: Override | undefined): string =>
    origin === undefined
      ? 'the hall'
      : `row ${settings.overrides.indexOf(origin) + 1}, for ${subjectName(origin, site)}`;
  return (
    <section aria-label="What holds for whom" class="held">
      <h3>What holds for whom</h3>
      <div class="look-row no-print">
        <ChoiceField
          label="Gun"
          value={gun}
          none="any"
          choices={site.guns.map(({ id, name }) => ({ value: id, name }))}
          onChoose={setGun}
        />
        <ChoiceField
          label="Powder"
          value={powder}
          none="any"
          choices={powders.map((id) => ({ value: id, name: powderName(id, site) }))}
          onChoose={setPowder}
        />
        <ChoiceField
          label="Part"
          value={part}
          none="any"
          choices={PART_IDS.map((id) => ({ value: id, name: causeName(id) }))}
          onChoose={setPart}
        />
      </div>
      <p class="print-only">
        For {gun === '' ? 'any gun' : subjectName({ gun }, site)},{' '}
        {powder === '' ? 'any powder' : powderName(powder, site)},{' '}
        {part === '' ? 'any part' : causeName(part).toLowerCase()}:
      </p>
      <table class="figures stacked">
        <thead>
          <tr>
            <th scope="col">Setting</th>
            <th scope="col">Holds</th>
            <th scope="col">Comes from</th>
          </tr>
        </thead>
        <tbody>
          {TUNABLES.map((key) => (
            <tr key={key}>
              <th scope="row">{NAMES[key].name}</th>
              <td>
                {shownValue(held[key], NAMES[key].scale)} {NAMES[key].unit}
              </td>
              <td>{told(origins[key])}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}
