/** The newest samples in a ring: `values` is full-length from the start, `next` is where the next one goes. */
export interface Window {
  values: number[];
  next: number;
  /** Samples held, at most the window's length. */
  held: number;
}

/** An empty window. */
export function newWindow(length: number): Window {
  return { values: new Array<number>(length).fill(0), next: 0, held: 0 };
}

/**
 * Puts a sample into the window, in the place of the oldest once it is full.
 *
 * @param window changed in place
 * @param value finite
 * Source: ring buffer.
 */
export function push(window: Window, value: number): void {
  window.values[window.next] = value;
  window.next = (window.next + 1) % window.values.length;
  if (window.held < window.values.length) window.held += 1;
}

/** The sample `age` places before the newest; age 0 is the newest. Only ages below `held` are there. */
export function recent(window: Window, age: number): number {
  const at = window.next - 1 - age;
  return window.values[at < 0 ? at + window.values.length : at]!;
}
