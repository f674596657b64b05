import type { JSX } from 'preact';
import { useEffect } from 'preact/hooks';
import { counted } from '../../../collector/contract/counted.ts';
import type { Site } from '../../server/endpoints/site.ts';
import { ApiFault, ask } from '../api.ts';
import { useFault } from '../link/use-fault.ts';
import { useGoneOn } from '../link/use-gone-on.ts';
import { faultOf, send } from '../shop/send.ts';
import { whole } from '../words/figures.ts';
import type { Import } from './import-types.ts';
import { Outcome } from './outcome.tsx';

/** Source: own choice, two looks a second seem alive. */
const LOOK_MS = 500;

interface Props {
  readonly now: Import;
  readonly site: Site;
  /** What the form makes of the file; undefined while something is still to say. */
  readonly mapping: object | null | undefined;
  readonly onNow: (now: Import) => void;
}

/** The dry run and the import of a file: how far it is, how to end it, and what it came to. */
export function RunImport({ now, site, mapping, onNow }: Props): JSX.Element {
  const [fault, setFault] = useFault();
  const isRunning = now.stage === 'running';
  const [place, goOn] = useGoneOn<HTMLElement>(now.stage);
  // The mapping above it is folded away then, and what is below would come under the eyes.
  useEffect(() => {
    if (isRunning) place.current?.scrollIntoView({ block: 'nearest' });
  }, [isRunning]);
  useEffect(() => {
    if (!isRunning) return;
    const timer = setInterval(() => {
      ask<Import>(`/api/imports/${now.id}`).then(
        (next) => {
          setFault(null);
          onNow(next);
        },
        (error: unknown) => {
          if (!(error instanceof ApiFault)) throw error;
          setFault(error.message);
        },
      );
    }, LOOK_MS);
    return () => clearInterval(timer);
  }, [isRunning, now.id]);
  const post = (what: string, body: unknown): void => {
    goOn();
    void faultOf(async () => onNow(await send<Import>('POST', `/api/imports/${now.id}/${what}`, body))).then(setFault);
  };
  const share = shareOf(now);
  return (
    <section aria-label="Dry run and import" tabIndex={-1} ref={place}>
      <div class="row no-print">
        {now.stage !== 'done' && (
          <>
            <button
              type="button"
              class="button"
              disabled={isRunning || mapping === undefined}
              onClick={() => post('run', { task: 'dry-run', mapping })}
            >
              Dry run
            </button>
            <button
              type="button"
              class="button"
              disabled={isRunning || mapping === undefined}
              onClick={() => post('run', { task: 'import', mapping })}
            >
              Import
            </button>
          </>
        )}
        {isRunning && (
          <button type="button" class="button" onClick={() => post('cancel', undefined)}>
            Cancel
          </button>
        )}
      </div>
      <div role="status">
        {isRunning && (
          <p class="import-progress">
            <progress {...(share === null ? {} : { value: share })} max={1} aria-label="How far it is" />
            {stepWords(now)}
          </p>
        )}
        {now.stage === 'stopped' && (
          <p>
            {now.task === 'import'
              ? 'Cancelled. What was stored until then stays; importing it again goes on there.'
              : 'Cancelled.'}
          </p>
        )}
      </div>
      {(fault !== null || now.stage === 'refused') && (
        <p class="fault" role="alert">
          {fault ?? now.fault}
        </p>
      )}
      <Outcome now={now} site={site} />
    </section>
  );
}

function shareOf({ step }: Import): number | null {
  if (step?.kind === 'reading') return step.bytes / Math.max(1, step.of);
  return step?.kind === 'stored' || step?.kind === 'goes-on' ? step.pieces / step.of : null;
}

function stepWords({ step, task }: Import): string {
  const share = (part: number, of: number): string => `${Math.floor((100 * part) / Math.max(1, of))} %`;
  if (step === null) return 'waits for its turn';
  if (step.kind === 'reading') return `reading, ${share(step.bytes, step.of)}`;
  if (step.kind === 'stored')
    return `storing, ${share(step.pieces, step.of)}, ${counted(whole(step.readings), 'reading')}`;
  if (step.kind === 'goes-on') return `goes on at ${share(step.pieces, step.of)}`;
  return task === 'dry-run' ? 'counting' : 'storing';
}
