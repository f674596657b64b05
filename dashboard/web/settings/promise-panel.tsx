import type { JSX } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';
import { decimal } from '../words/figures.ts';
import './promise-panel.css';
import type { Settings } from '../../../collector/contract/index.ts';
import type { PromiseAnswer } from '../../server/endpoints/promise.ts';
import { ApiFault, ask } from '../api.ts';
import { useAgain } from '../link/use-again.ts';
import { causeName } from '../words/names.ts';
import { withInterval } from './tally-words.ts';

const JSON_BODY = { 'Content-Type': 'application/json' };
/** Source: own choice, because who types does not want an answer for every digit. */
const PAUSE_MS = 300;
/** Source: own choice: a hall takes seconds to simulate. */
const LOOK_MS = 1000;
/** Source: own choice, because zero in so many years still leaves one in ten years possible. */
const GUN_YEARS = 40;

/** The rate of false findings three ways, each in a box of its own so that they are never taken for one another. */
export function PromisePanel({ settings }: { readonly settings: Settings }): JSX.Element {
  const text = JSON.stringify({ settings });
  const [told, setTold] = useState<{ readonly of: string; readonly figures: PromiseAnswer } | null>(null);
  const [fault, setFault] = useState<string | null>(null);
  const newest = useRef(text);
  newest.current = text;

  const guarded = async (what: () => Promise<unknown>): Promise<void> => {
    try {
      await what();
      setFault(null);
    } catch (error) {
      if (!(error instanceof ApiFault)) throw error;
      setFault(error.message);
    }
  };
  const load = (): Promise<void> =>
    guarded(async () => {
      const figures = await ask<PromiseAnswer>('/api/promise', { method: 'POST', headers: JSON_BODY, body: text });
      if (newest.current === text) setTold({ of: text, figures });
    });
  useAgain(fault, load);
  const figures = told?.of === text ? told.figures : null;
  const simulated = figures?.simulated ?? null;
  const isRunning = simulated?.state === 'running';
  const latest = useRef(load);
  latest.current = load;
  useEffect(() => {
    const timer = setTimeout(() => {
      if (newest.current === text) void latest.current();
    }, PAUSE_MS);
    return () => clearTimeout(timer);
  }, [text]);
  useEffect(() => {
    if (!isRunning) return;
    const timer = setInterval(() => void latest.current(), LOOK_MS);
    return () => clearInterval(timer);
  }, [isRunning]);

  const simulate = (): Promise<void> =>
    guarded(async () => {
      const body = JSON.stringify({ settings, gunYears: GUN_YEARS });
      await ask('/api/promise/simulation', { method: 'POST', headers: JSON_BODY, body });
      await load();
    });
  const cancel = (): Promise<void> =>
    guarded(async () => {
      await ask('/api/promise/simulation', { method: 'DELETE' });
      await load();
    });
  return (
    <section aria-label="False findings" class="promise">
      <h2>False findings</h2>
      <p class="soft">
        Findings against a part that was not worth a visit, per gun and year, all of a gun’s signals together. Told
        three ways that are never mixed
        {figures === null ? '.' : `; these settings accept ${figures.accepted}.`}
      </p>
      {fault !== null && (
        <p class="fault" role="alert">
          {fault}
        </p>
      )}
      {figures === null && fault === null && <p>Loading…</p>}
      {figures !== null && (
        <div class="promise-ways">
          <Designed {...figures.designed} />
          <Simulated simulated={simulated} onSimulate={() => void simulate()} onCancel={() => void cancel()} />
          <Observed {...figures.observed} />
        </div>
      )}
    </section>
  );
}

function Designed({ perGunYear, signals }: PromiseAnswer['designed']): JSX.Element {
  return (
    <article>
      <h3>Designed</h3>
      <p class="promise-rate">{perGunYear.toFixed(2)}</p>
      <p>By theory, from the limits that these settings give. No gun was looked at.</p>
      <details>
        <summary>Signal by signal</summary>
        {/* biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reached by the keyboard */}
        <section class="numbers-scroll" tabIndex={0} aria-label="Designed rate of each signal">
          <table>
            <thead>
              <tr>
                <th scope="col">Signal</th>
                <th scope="col">May take</th>
                <th scope="col">Takes</th>
                <th scope="col">Limit</th>
              </tr>
            </thead>
            <tbody>
              {signals.map((one) => (
                <tr key={one.signal}>
                  <th scope="row">{one.signal}</th>
                  <td>{(100 * one.share).toFixed(0)} %</td>
                  <td>{one.perGunYear.toFixed(3)}</td>
                  <td>{one.detector}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </section>
        {(['step', 'ramp'] as const).map((kind) => (
          <p key={kind}>
            {kind === 'step' ? 'Steps' : 'Slow changes'} are corrected for{' '}
            {signals.find((one) => one.kind === kind)?.corrections.join('; ')}.
          </p>
        ))}
        <p>
          Slow changes are held against parts that wear up to the smallest change worth a visit. A step is looked at
          further before a finding is raised, which makes it rarer than told here.
        </p>
      </details>
    </article>
  );
}

function Simulated({
  simulated,
  onSimulate,
  onCancel,
}: {
  readonly simulated: PromiseAnswer['simulated'];
  readonly onSimulate: () => void;
  readonly onCancel: () => void;
}): JSX.Element {
  const answer = simulated?.answer ?? null;
  return (
    <article>
      <h3>Simulated</h3>
      <p class="promise-rate">
        {answer === null
          ? simulated?.state === 'running'
            ? 'under way'
            : 'not simulated'
          : withInterval(answer.perGunYear, 2)}
      </p>
      {answer === null ? (
        <p>On invented healthy guns, with the code that runs live. It takes some minutes.</p>
      ) : (
        <p>
          {answer.wrong} in {decimal(answer.gunYears, 1)} gun-years of invented healthy guns
          {answer.byCause.length > 0 &&
            `: ${answer.byCause.map(({ cause, wrong }) => `${causeName(cause).toLowerCase()} ${wrong}`).join(', ')}`}
          . In brackets: exact Poisson limits of 95 %.
        </p>
      )}
      <div role="status">
        {simulated?.state === 'running' && (
          <p class="look-row">
            <progress max={1} value={simulated.share} aria-label="How far the simulation has come" />
            {Math.round(simulated.share * 100)} %
            <button type="button" class="button" onClick={onCancel}>
              Cancel
            </button>
          </p>
        )}
        {simulated?.fault !== undefined && simulated?.fault !== null && <p class="fault">{simulated.fault}</p>}
      </div>
      {simulated?.state !== 'running' && (
        <button type="button" class="button" onClick={onSimulate}>
          Simulate {GUN_YEARS} gun-years
        </button>
      )}
    </article>
  );
}

function Observed({ perGunYear, gunYears, wrong, right, notJudged }: PromiseAnswer['observed']): JSX.Element {
  return (
    <article>
      <h3>Observed here</h3>
      <p class="promise-rate">{perGunYear === null ? 'too little data' : withInterval(perGunYear, 2)}</p>
      <p>
        {wrong} judged wrong, {right} right, {notJudged} not judged, in {decimal(gunYears, 1)} gun-years of this hall,
        whatever settings held then.{' '}
        {perGunYear === null ? 'Told from 10 gun-years on.' : 'In brackets: exact Poisson limits of 95 %.'}
      </p>
    </article>
  );
}
