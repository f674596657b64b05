import type { JSX } from 'preact';
import type { StudyAnswer } from '../../../analyzer/index.ts';
import type { Settings } from '../../../collector/contract/index.ts';
import { Comparison } from './comparison.tsx';

interface Props {
  readonly opened: Extract<StudyAnswer, { kind: 'open' }>;
  readonly onTake: (settings: Settings) => void;
}

/** A bundle whose question was asked again: what came out here, with the plant's own names and time zone. */
export function OpenedStudy({ opened: { name, plant, report, isSame }, onTake }: Props): JSX.Element {
  const guns = plant.guns.map((gun) => ({ id: gun.id, name: gun.name ?? gun.id }));
  const powders = plant.powders.map((powder) => ({ id: powder.id, name: powder.name ?? powder.id }));
  const { timezone, units } = plant.site;
  return (
    <section aria-label="Opened study">
      <h3>
        {name}, from {plant.site.name ?? plant.site.id}
      </h3>
      {isSame ? (
        <p>
          <strong>Reproduced: the answer is the same to the last byte as the one that the file carries.</strong>
        </p>
      ) : (
        <p class="fault" role="alert">
          Not reproduced: what came out here differs from the answer that the file carries. Below stands what came out
          here.
        </p>
      )}
      <Comparison report={report} site={{ timezone, units, guns, powders }} />
      <button type="button" class="button no-print" onClick={() => onTake(report.proposed.settings)}>
        Propose its settings
      </button>
    </section>
  );
}
