import { useEffect, useState } from 'preact/hooks';

/** False until the browser has painted what was shown first: what is not seen at once need not hold it up. */
export function usePainted(): boolean {
  const [painted, setPainted] = useState(false);
  useEffect(() => {
    let wait: ReturnType<typeof setTimeout> | undefined;
    // A frame's callbacks run before it is painted, a timer that they set after it.
    const frame = requestAnimationFrame(() => {
      wait = setTimeout(() => setPainted(true));
    });
    // Where no frame comes, as in a tab behind others.
    const unseen = setTimeout(() => setPainted(true), UNSEEN_MS);
    return () => {
      cancelAnimationFrame(frame);
      clearTimeout(wait);
      clearTimeout(unseen);
    };
  }, []);
  return painted;
}

/** Source: own choice, several frames. */
const UNSEEN_MS = 250;
