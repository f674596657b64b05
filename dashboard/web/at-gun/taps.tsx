import type { JSX } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';
import type { Job } from '../../../analyzer/index.ts';
import { PART_IDS } from '../../../collector/contract/parts.ts';
import { CheckHelp } from '../checks/check-help.tsx';
import { causeName } from '../words/names.ts';
import { OUTCOMES, type Outcome } from './outcomes.ts';

interface Props {
  readonly jobs: readonly Job[];
  /** That the gun has; null while they are not known. */
  readonly parts: readonly string[] | null;
  readonly onLog: (part: string, outcome: Outcome) => void;
}

/** Three taps: which part, what was done and found, log it. Parts that the gun asks for come first. */
export function Taps({ jobs, parts: has, onLog }: Props): JSX.Element {
  const [part, setPart] = useState<string | null>(null);
  const [outcome, setOutcome] = useState<Outcome | null>(null);
  const head = useRef<HTMLHeadingElement>(null);
  const step = part === null ? 1 : outcome === null ? 2 : 3;
  useEffect(() => {
    if (step > 1) head.current?.focus();
  }, [step]);
  const known: readonly string[] = has ?? PART_IDS;
  const asked = [...new Set(jobs.flatMap((job) => job.candidates.map(({ cause }) => cause)))].filter((cause) =>
    known.includes(cause),
  );
  const parts = [...asked, ...known.filter((id) => !asked.includes(id))];
  const back = (): void => {
    if (outcome !== null) setOutcome(null);
    else setPart(null);
  };
  return (
    <section class="taps-room">
      <h2 tabIndex={-1} ref={head}>
        {step === 1 && 'Log work: which part?'}
        {step === 2 && part !== null && `${causeName(part)}: what?`}
        {step === 3 && part !== null && `${causeName(part)}: ${outcome?.words.toLowerCase()}`}
      </h2>
      {step === 1 && (
        <ul class="taps">
          {parts.map((id) => (
            <li key={id}>
              <button type="button" class={asked.includes(id) ? 'tap tap-asked' : 'tap'} onClick={() => setPart(id)}>
                {causeName(id)}
              </button>
            </li>
          ))}
        </ul>
      )}
      {step === 2 && part !== null && <CheckHelp part={part} as="h3" />}
      {step === 2 && (
        <ul class="taps">
          {OUTCOMES.map((one) => (
            <li key={one.id}>
              <button type="button" class="tap" onClick={() => setOutcome(one)}>
                {one.words}
              </button>
            </li>
          ))}
        </ul>
      )}
      {step === 3 && part !== null && outcome !== null && (
        <button
          type="button"
          class="tap tap-main"
          onClick={() => {
            onLog(part, outcome);
            setPart(null);
            setOutcome(null);
          }}
        >
          Log it
        </button>
      )}
      {step > 1 && (
        <button type="button" class="tap tap-quiet" onClick={back}>
          Back
        </button>
      )}
    </section>
  );
}
