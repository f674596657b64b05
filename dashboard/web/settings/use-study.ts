import { useEffect, useRef, useState } from 'preact/hooks';
import { ApiFault } from '../api.ts';
import { useFault } from '../link/use-fault.ts';
import { followStudy, type StudyNow } from './follow-study.ts';

const BEGUN: StudyNow = {
  ...{ id: '', state: 'running', stage: 'loading', share: 0, points: [] },
  ...{ answer: null, fault: null },
};

/** Begins a study. @param tell told how much of what has to be sent first is there @param signal ends it */
type Begin = (tell: (share: number) => void, signal: AbortSignal) => Promise<StudyNow>;

/** The study that this page asked for: one at a time, a new one ends the one before. */
export function useStudy(): {
  readonly now: StudyNow | null;
  readonly fault: string | null;
  /** Follows what `begin` begins to its end, and gives its last state; null where another took its place or it was not answered. */
  readonly run: (begin: Begin) => Promise<StudyNow | null>;
  readonly cancel: () => void;
} {
  const [now, setNow] = useState<StudyNow | null>(null);
  const [fault, setFault] = useFault();
  const running = useRef<AbortController | null>(null);
  useEffect(() => () => running.current?.abort(), []);
  const cancel = (): void => {
    running.current?.abort();
    running.current = null;
    setNow(null);
  };
  const run = async (begin: Begin): Promise<StudyNow | null> => {
    running.current?.abort();
    const control = new AbortController();
    running.current = control;
    setFault(null);
    setNow(BEGUN);
    const isOurs = (): boolean => running.current === control;
    try {
      const tell = (step: StudyNow): void => {
        if (isOurs()) setNow(step);
      };
      const sending = (share: number): void => tell({ ...BEGUN, stage: 'sending', share });
      const end = await followStudy(await begin(sending, control.signal), tell, control.signal);
      if (!isOurs()) return null;
      if (end.fault !== null) setFault(end.fault);
      return end;
    } catch (error) {
      if (!(error instanceof ApiFault)) throw error;
      if (isOurs()) {
        setFault(error.message);
        setNow(null);
      }
      return null;
    }
  };
  return { now, fault, run, cancel };
}
