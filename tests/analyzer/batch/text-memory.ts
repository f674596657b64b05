import type { TextSink } from '../../../analyzer/batch/analyze-files.ts';

/** A sink that keeps what is written to it. */
export function textMemory(): TextSink & { readonly text: string } {
  const written: string[] = [];
  return {
    write: (text) => void written.push(text),
    get text() {
      return written.join('');
    },
  };
}
