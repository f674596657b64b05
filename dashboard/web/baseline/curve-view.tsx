import type { JSX } from 'preact';
import { useCallback, useMemo, useRef, useState } from 'preact/hooks';
import type { BaselineAnswer } from '../../../analyzer/index.ts';
import type { Site } from '../../server/endpoints/site.ts';
import { savePicture } from '../history/save-picture.ts';
import { saveText } from '../save-text.ts';
import { powderName } from '../words/baseline-words.ts';
import { decimal } from '../words/figures.ts';
import { flow, output, told } from '../words/units.ts';
import { baselineCsv } from './baseline-csv.ts';
import { plottedOf, readCurve } from './baseline-plot.ts';
import { CurveChart } from './curve-chart.tsx';
import { PowderTable } from './powder-table.tsx';

interface Props {
  readonly answer: BaselineAnswer;
  readonly site: Site;
  readonly name: string;
}

/** The pump curve with its points, read at any output by slider, key or touch; powders side by side. */
export function CurveView({ answer, site, name }: Props): JSX.Element {
  const { units } = site;
  const [shown, setShown] = useState<string | null>(
    answer.powders.length > 1 ? (answer.powders.find(({ inUse }) => inUse)?.powder ?? null) : null,
  );
  const canvas = useRef<HTMLCanvasElement | null>(null);
  const keep = useCallback((one: HTMLCanvasElement | null): void => {
    canvas.current = one;
  }, []);
  const usual = answer.powders[0]!.atGunsUsual.output;
  const [asked, setAsked] = useState<number | null>(null);
  const plain = useMemo(
    () =>
      plottedOf(answer, shown, {
        flow: (value) => flow(value, units),
        output: (value) => output(value, units),
        name: (powder) => powderName(powder, site),
      }),
    [answer, shown, units, site],
  );
  const ends = plain.curves.flatMap(({ curve }) => curve.map((one) => one.output));
  const [least, most] = [Math.min(...ends), Math.max(...ends)];
  const read = Math.min(most, Math.max(least, asked ?? output(usual, units).value));
  const plot = useMemo(() => ({ ...plain, read }), [plain, read]);
  const digits = units === 'us' ? 1 : 0;
  const unit = { output: output(0, units).unit, air: flow(0, units).unit };
  return (
    <section aria-label="Pump curve">
      <h2>Conveying air for an output</h2>
      <p class="soft">
        What a new insert needs, with the band in which its need lies with 80 %. ● runs that taught the curve, ○ runs
        that came later, when wear adds to the air, × left out.
      </p>
      {answer.powders.length > 1 && (
        <p class="look-row no-print">
          <label>
            Powder{' '}
            <select
              value={shown === null ? '*' : `=${shown}`}
              onChange={(event) => {
                const { value } = event.currentTarget;
                setShown(value === '*' ? null : value.slice(1));
              }}
            >
              <option value="*">all side by side</option>
              {answer.powders.map(({ powder, inUse }) => (
                <option key={powder} value={`=${powder}`}>
                  {powderName(powder, site)}
                  {inUse ? ' (in use)' : ''}
                </option>
              ))}
            </select>
          </label>
        </p>
      )}
      <CurveChart plot={plot} onRead={setAsked} onCanvas={keep} />
      <label class="curve-slider no-print">
        <span>
          Read at {decimal(read, digits)} {unit.output}
        </span>
        <input
          type="range"
          min={least}
          max={most}
          step={(most - least) / 100}
          value={read}
          onInput={(event) => setAsked(Number(event.currentTarget.value))}
        />
      </label>
      <ul class="dashes" aria-live="polite">
        {plain.curves.map(({ name: powder, curve }) => {
          const need = readCurve(curve, read);
          return (
            <li key={powder}>
              {powder}:{' '}
              {need === null
                ? 'not known there'
                : `${told({ value: need.air, unit: unit.air }, 2)} (${need.low.toFixed(2)} to ${need.high.toFixed(2)}) for ${told({ value: read, unit: unit.output }, digits)}`}
            </li>
          );
        })}
      </ul>
      <PowderTable answer={answer} site={site} />
      <p class="look-row no-print">
        <button
          type="button"
          class="button"
          onClick={() => saveText(baselineCsv(answer, site), `${answer.gun}-baseline.csv`)}
        >
          Save as CSV
        </button>
        <button
          type="button"
          class="button"
          onClick={() => {
            if (canvas.current === null) return;
            const what = shown === null ? 'all powders' : powderName(shown, site);
            savePicture(`${name}, baseline`, [{ title: what, canvas: canvas.current }], `${answer.gun}-baseline.png`);
          }}
        >
          Save as PNG
        </button>
      </p>
    </section>
  );
}
