import { type CaseScore, confusion, isReached, type Measure, measures } from '../analyzer/index.ts';
import { estimateText, reachText, unitText } from './figure-text.ts';
import { calibrationFigure, delayFigure, falseFigure, flagFigure } from './figures.ts';
import { escapeText } from './svg.ts';

const STYLE = `
body { font: 15px/1.45 system-ui, sans-serif; color: #1c2126; background: #fff; max-width: 1060px; margin: 2rem auto; padding: 0 1rem }
h1 { font-size: 1.6rem } h2 { font-size: 1.15rem; margin-top: 2.2rem }
table { border-collapse: collapse; width: 100% } th, td { text-align: left; padding: .3rem .6rem; border-bottom: 1px solid #d5dade; vertical-align: top }
td.number, th.number { text-align: right } td.missed { font-weight: 700 } .small { color: #4c565e }
.figures { display: grid; grid-template-columns: repeat(auto-fit, minmax(min(430px, 100%), 1fr)); gap: 1.2rem }
figure { margin: 0 } svg { width: 100%; height: auto; font-size: 12px } svg text { fill: #343d44 }
.grid { stroke: #e0e4e7 } .bar { fill: #0072b2 } .band { fill: #e9edf0 } .dot { fill: #0072b2; fill-opacity: .75 }
.ideal { stroke: #76818a; stroke-dasharray: 5 4 } .line { fill: none; stroke: #0072b2; stroke-width: 2 }
.matrix th { font-weight: 600; font-size: .85rem } .matrix td { text-align: right } .matrix td.same { background: #e3eef6 }
.room { overflow-x: auto }
@page { margin: 15mm }
@media print { .figures { grid-template-columns: 1fr 1fr } body { max-width: none; margin: 0; padding: 0; font-size: 9.5pt } h2 { break-after: avoid } tr, figure { break-inside: avoid } .room { overflow: visible } .bar, .band, .dot, td.same { print-color-adjust: exact } }
`;

/** What was run, for the report's head. */
export interface ReportHead {
  readonly scenarios: readonly string[];
  readonly seeds: readonly number[];
}

/** The whole evaluation as one HTML page that needs nothing else. */
export function htmlReport(scores: readonly CaseScore[], { scenarios, seeds }: ReportHead): string {
  const hours = scores.reduce((sum, { sprayHours }) => sum + sprayHours, 0);
  const findings = scores.reduce((sum, one) => sum + one.findings.length, 0);
  return `<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width"><title>Evaluation on simulated halls</title><style>${STYLE}</style></head><body>
<h1>Evaluation on simulated halls</h1>
<p>${scores.length} ${scores.length === 1 ? 'hall' : 'halls'}: ${escapeText(scenarios.join(', '))}; seeds ${escapeText(seeds.join(', '))}. ${hours.toFixed(0)} spray hours, ${findings} findings. Default settings. The halls are our own simulation: figures on real guns will differ.</p>
<h2>Measures</h2>
<div class="room"><table><thead><tr><th>Measure</th><th>Value (95 % interval)</th><th>Wanted</th><th></th><th>Basis</th></tr></thead><tbody>
${measures(scores).map(measureRow).join('\n')}
</tbody></table></div>
<p class="small">Intervals: shares by Clopper and Pearson, rates by the Poisson distribution, medians by order statistics, coverage and calibration by leaving out one insert or hall at a time. A finding is false when no fault of its kind was there when it was raised, on an insert also below 35 % of the wear limit.</p>
<h2>Figures</h2>
<div class="figures">${flagFigure(scores)}${calibrationFigure(scores)}${delayFigure(scores)}${falseFigure(scores)}</div>
<h2>What was there, and how it was first found</h2>
<div class="room">${matrixTable(scores)}</div>
<h2>By scenario</h2>
<div class="room">${scenarioTable(scores, scenarios)}</div>
</body></html>
`;
}

function measureRow(measure: Measure): string {
  const reached = isReached(measure);
  const verdict = reached === null ? '' : reached ? 'reached' : 'not reached';
  const value = [estimateText(measure), unitText(measure)].filter(Boolean).join(' ');
  return `<tr><td>${escapeText(measure.name)}</td><td>${escapeText(value)}</td><td>${escapeText(reachText(measure))}</td><td${reached === false ? ' class="missed"' : ''}>${verdict}</td><td class="small">${escapeText(measure.basis)}</td></tr>`;
}

function matrixTable(scores: readonly CaseScore[]): string {
  const { truths, found, counts } = confusion(scores);
  const rows = truths.map((truth, row) => {
    const cells = counts[row]!.map(
      (count, column) => `<td${truth === found[column] ? ' class="same"' : ''}>${count || ''}</td>`,
    );
    return `<tr><th>${escapeText(truth)}</th>${cells.join('')}</tr>`;
  });
  return `<table class="matrix"><thead><tr><th>there was</th>${found.map((cause) => `<th class="number">${escapeText(cause)}</th>`).join('')}</tr></thead><tbody>${rows.join('\n')}</tbody></table>`;
}

function scenarioTable(scores: readonly CaseScore[], scenarios: readonly string[]): string {
  const rows = scenarios.map((scenario) => {
    const some = scores.filter((score) => score.scenario === scenario);
    const sum = (of: (score: CaseScore) => number): number => some.reduce((total, score) => total + of(score), 0);
    const cells = [
      sum(({ sprayHours }) => sprayHours).toFixed(0),
      sum(({ lives }) => lives.length),
      sum(({ faults }) => faults.length),
      sum(({ findings }) => findings.length),
      sum(({ findings }) => findings.filter(({ isFalse }) => isFalse).length),
    ];
    return `<tr><th>${escapeText(scenario)}</th>${cells.map((cell) => `<td class="number">${cell}</td>`).join('')}</tr>`;
  });
  const heads = ['spray hours', 'inserts past 70 %', 'faults', 'findings', 'false findings'];
  return `<table><thead><tr><th>scenario</th>${heads.map((head) => `<th class="number">${head}</th>`).join('')}</tr></thead><tbody>${rows.join('\n')}</tbody></table>`;
}
