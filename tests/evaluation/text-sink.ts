/** Keeps what is written. */
export function textSink() {
  let kept = '';
  return {
    write: (more: string): void => {
      kept += more;
    },
    text: (): string => kept,
  };
}
