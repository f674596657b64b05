import { useEffect, useRef, useState } from 'preact/hooks';
import { ApiFault } from '../api.ts';
import { useOnceBack } from '../link/use-once-back.ts';
import { followStudy, type StudyNow } from './follow-study.ts';

const BEGUN: StudyNow = {
  ...{ id: '', state: 'running', stage: 'loading', share: 0, points: [] },
  ...{ answer: null, fault: null },
};

/** The study that this page asked for: one at a time, a new one ends the one before. */
export function useStudy(): {
  readonly now: StudyNow | null;
  readonly fault: string | null;
  /** Follows what `begin` begins to its end, and gives its last state; null where another took its place or it was not answered. */
  readonly run: (begin: (signal: AbortSignal) => Promise<StudyNow>) => Promise<StudyNow | null>;
  readonly cancel: () => void;
} {
  const [now, setNow] = useState<StudyNow | null>(null);
  const [fault, setFault] = useState<string | null>(null);
  useOnceBack(fault, () => setFault(null));
  const running = useRef<AbortController | null>(null);
  useEffect(() => () => running.current?.abort(), []);
  const cancel = (): void => {
    running.current?.abort();
    running.current = null;
    setNow(null);
  };
  const run = async (begin: (signal: AbortSignal) => Promise<StudyNow>): Promise<StudyNow | null> => {
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
      const end = await followStudy(await begin(control.signal), tell, control.signal);
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
