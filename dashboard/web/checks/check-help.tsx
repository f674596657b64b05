import type { JSX } from 'preact';
import { useEffect } from 'preact/hooks';
import { causeName } from '../words/names.ts';
import { Cautions, CheckSteps } from './check-steps.tsx';
import { checks, knowChecks } from './known-checks.ts';

/** How a part is checked by hand and judged, folded away until it is wanted; the cautions come first. */
export function CheckHelp({ part, as: Title }: { part: string; as: 'h2' | 'h3' }): JSX.Element | null {
  useEffect(() => void knowChecks(), []);
  const check = checks.value?.checks.find((one) => one.part === part);
  if (checks.value === null || check === undefined) return null;
  return (
    <details class="check-help">
      <summary class="tap tap-quiet">How to check: {causeName(part).toLowerCase()}</summary>
      <Cautions cautions={checks.value.cautions} as={Title} />
      <Title class="job-sheet-title">{check.title}</Title>
      <CheckSteps check={check} />
    </details>
  );
}
