// What holds for every way that is gone over before it is needed, so that V8 has compiled it.

const kept: unknown[] = [];

/** Keeps what a way was gone over with: V8 throws code away with the objects that it was compiled for. */
export function keepForEver(...objects: readonly unknown[]): void {
  kept.push(...objects);
}

/**
 * Hands a piece of memory over once, as each commit does. Until then V8 compiles in this thread as if that never happened, and with the
 * first time it throws away all code that works on bytes.
 */
export function handOverOnce(): void {
  const memory = new ArrayBuffer(1);
  structuredClone(memory, { transfer: [memory] });
}
