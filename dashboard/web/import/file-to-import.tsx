import type { JSX } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import type { Site } from '../../server/endpoints/site.ts';
import { ApiFault, ask } from '../api.ts';
import { send } from '../shop/send.ts';
import { dayAndClock } from '../words/site-time.ts';
import type { Import, Offer, Preview } from './import-types.ts';
import { draftOf, fromMapping, type MappingDraft, mappingOf, missingIn } from './mapping-draft.ts';
import { MappingForm } from './mapping-form.tsx';
import { PreviewTable } from './preview-table.tsx';
import { RunImport } from './run-import.tsx';

/** How long typing has to pause before the preview is made anew, ms. Source: own choice. */
const PAUSE_MS = 400;
const ROWS = 10;

interface Props {
  readonly now: Import;
  readonly site: Site;
  readonly onNow: (now: Import) => void;
}

/** One file that is here: how it is read, its first rows, and its import. */
export function FileToImport({ now, site, onNow }: Props): JSX.Element {
  const [offer, setOffer] = useState<Offer | null>(null);
  const [draft, setDraft] = useState<MappingDraft | null>(null);
  const [preview, setPreview] = useState<Preview | null>(null);
  const [fault, setFault] = useState<string | null>(null);
  const isAtRest = now.stage !== 'running' && now.stage !== 'done';
  useEffect(() => {
    if (!isAtRest || offer !== null) return;
    ask<Offer>(`/api/imports/${now.id}/mapping`).then(
      (found) => {
        setOffer(found);
        // As this very file was read before it was cancelled, else as the last one with such headings.
        setDraft(
          now.mapping == null ? draftOf(found, site.timezone) : fromMapping(now.mapping, found.offered.headings),
        );
      },
      (error: unknown) => setFault(sentenceOf(error)),
    );
  }, [isAtRest]);
  // Other text has other headings: what they seem to be is asked anew.
  const reshape = (next: MappingDraft): void => {
    setDraft(next);
    if (draft === null || (['delimiter', 'encoding', 'skipLines'] as const).every((key) => next[key] === draft[key]))
      return;
    const { delimiter, encoding, skipLines, decimal, absent } = next;
    const asked = new URLSearchParams({ delimiter, encoding, skipLines: String(skipLines) });
    ask<Offer>(`/api/imports/${now.id}/mapping?${asked}`).then(
      (found) => {
        setOffer(found);
        // What was said of decimals stays; where nothing was, the new cells may tell.
        const fresh = draftOf({ ...found, kept: null }, site.timezone);
        setDraft({ ...fresh, decimal: decimal === '' ? fresh.decimal : decimal, absent });
      },
      (error: unknown) => setFault(sentenceOf(error)),
    );
  };
  const missing = draft === null ? null : missingIn(draft);
  const mapping = draft === null || missing !== null ? undefined : mappingOf(draft);
  const text = mapping === undefined ? null : JSON.stringify(mapping);
  useEffect(() => {
    if (text === null || !isAtRest) return;
    let isOld = false;
    const timer = setTimeout(() => {
      send<Preview>('POST', `/api/imports/${now.id}/preview`, { mapping: JSON.parse(text), rows: ROWS }).then(
        (made) => {
          if (isOld) return;
          setPreview(made);
          setFault(null);
        },
        (error: unknown) => {
          if (isOld) return;
          setPreview(null);
          setFault(sentenceOf(error));
        },
      );
    }, PAUSE_MS);
    return () => {
      isOld = true;
      clearTimeout(timer);
    };
  }, [text, isAtRest]);
  return (
    <section aria-label={now.file}>
      <h2>{now.file}</h2>
      {isAtRest && offer && draft && (
        <>
          {offer.kept && (
            <p class="soft">
              Read as {offer.kept.file} was, by {offer.kept.who} on {dayAndClock(offer.kept.usedAt, site)}.{' '}
              <button
                type="button"
                class="button button-small"
                onClick={() => setDraft(draftOf({ ...offer, kept: null }, site.timezone))}
              >
                Offer anew from the headings
              </button>
            </p>
          )}
          <MappingForm
            draft={draft}
            headings={offer.offered.headings}
            samples={offer.offered.samples}
            site={site}
            onChange={reshape}
          />
          {missing !== null && <p role="status">{missing}</p>}
          {fault !== null && (
            <p class="fault" role="alert">
              {fault}
            </p>
          )}
          {preview && missing === null && <PreviewTable preview={preview} site={site} />}
        </>
      )}
      {isAtRest && offer === null && fault !== null && (
        <p class="fault" role="alert">
          {fault}
        </p>
      )}
      <RunImport now={now} site={site} mapping={fault === null ? mapping : undefined} onNow={onNow} />
    </section>
  );
}

function sentenceOf(error: unknown): string {
  if (!(error instanceof ApiFault)) throw error;
  return error.message;
}
