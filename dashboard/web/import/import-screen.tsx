import type { JSX } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';
import type { Site } from '../../server/endpoints/site.ts';
import { ApiFault, ask } from '../api.ts';
import { Frame } from '../frame/frame.tsx';
import { useAgain } from '../link/use-again.ts';
import { useFault } from '../link/use-fault.ts';
import { Waiting } from '../shop/waiting.tsx';
import { whole } from '../words/figures.ts';
import { FileList } from './file-list.tsx';
import { FileToImport } from './file-to-import.tsx';
import './import.css';
import type { Import } from './import-types.ts';
import { sendFile } from './send-file.ts';
import { WhatAFileHolds } from './what-a-file-holds.tsx';

interface Answer {
  readonly maxPieceBytes: number;
  readonly imports: readonly Import[];
}

/** A logger's file into the store: choose it, say what its columns are, look at what becomes of it, import it. */
export function ImportScreen(): JSX.Element {
  const [loaded, setLoaded] = useState<(Answer & { site: Site }) | null>(null);
  const [open, setOpen] = useState<Import | null>(null);
  const [missing, setMissing] = useState<string | null>(null);
  const [fault, setFault] = useFault();
  const sending = useRef<AbortController | null>(null);
  const guarded = async (act: () => Promise<void>, tell = setFault): Promise<void> => {
    try {
      tell(null);
      await act();
    } catch (error) {
      if (!(error instanceof ApiFault)) throw error;
      tell(error.message);
    }
  };
  const load = (): Promise<void> =>
    guarded(async () => {
      const [answer, site] = await Promise.all([ask<Answer>('/api/imports'), ask<Site>('/api/site')]);
      setLoaded({ ...answer, site });
      setOpen((before) => before ?? answer.imports.find(({ stage }) => stage === 'running') ?? null);
    }, setMissing);
  useEffect(() => {
    void load();
    return () => sending.current?.abort();
  }, []);
  useAgain(missing, load);
  // What is opened from the list stands above it, and the list may be long.
  const opened = useRef<HTMLDivElement>(null);
  const [fromList, setFromList] = useState(0);
  useEffect(() => {
    if (fromList === 0) return;
    opened.current?.scrollIntoView({ block: 'start' });
    opened.current?.focus({ preventScroll: true });
  }, [fromList]);
  const openListed = (one: Import): void => {
    setOpen(one);
    setFromList((count) => count + 1);
  };
  const choose = (file: File): Promise<void> =>
    guarded(async () => {
      sending.current?.abort();
      const stop = new AbortController();
      sending.current = stop;
      await sendFile(file, loaded!.maxPieceBytes, setOpen, stop.signal);
      await load();
    });
  const forget = (one: Import): Promise<void> =>
    guarded(async () => {
      await ask(`/api/imports/${one.id}`, { method: 'DELETE' });
      if (open?.id === one.id) setOpen(null);
      await load();
    });
  return (
    <Frame title="Import readings" page="import" wide>
      <p class="soft">
        A logger’s CSV, plain or gzip. Its readings go where live readings go, and findings follow as if they had come
        in time. What was imported before is passed over.
      </p>
      <Waiting fault={loaded === null ? missing : null} empty={loaded === null} />
      {loaded && (
        <div class="imports">
          <label class="field no-print">
            <span>File</span>
            <input
              type="file"
              accept=".csv,.txt,.gz,text/csv"
              onChange={({ currentTarget }) => {
                const file = currentTarget.files?.[0];
                currentTarget.value = '';
                if (file) void choose(file);
              }}
            />
          </label>
          {(fault ?? missing) !== null && (
            <p class="fault" role="alert">
              {fault ?? missing}
            </p>
          )}
          {open?.stage === 'arriving' && (
            <p class="import-progress" role="status">
              <progress value={open.received} max={open.bytes} aria-label="How much of it is here" />
              {open.file}: {whole(open.received / 1024)} of {whole(open.bytes / 1024)} KiB
              <button
                type="button"
                class="button button-small"
                onClick={() => {
                  sending.current?.abort();
                  setOpen(null);
                  void load();
                }}
              >
                Stop sending
              </button>
            </p>
          )}
          {open && open.stage !== 'arriving' && (
            <div tabIndex={-1} ref={opened}>
              <FileToImport
                key={open.id}
                now={open}
                site={loaded.site}
                onNow={(next) => {
                  setOpen(next);
                  if (next.stage !== open.stage) void load();
                }}
              />
            </div>
          )}
          {open === null && <WhatAFileHolds />}
          <FileList
            imports={loaded.imports}
            site={loaded.site}
            onOpen={openListed}
            onForget={(one) => void forget(one)}
          />
        </div>
      )}
    </Frame>
  );
}
