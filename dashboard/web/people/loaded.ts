import { type Signal, useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { ApiFault, ask } from '../api.ts';

/** A list from the API: what is shown, what went wrong, and how to ask anew. */
export interface Loaded<T> {
  /** Null before the first answer. */
  readonly value: Signal<T | null>;
  readonly fault: Signal<string | null>;
  readonly load: () => Promise<void>;
}

/** Asks for `path` when the page opens. */
export function useLoaded<T>(path: string): Loaded<T> {
  const value = useSignal<T | null>(null);
  const fault = useSignal<string | null>(null);
  const load = async (): Promise<void> => {
    try {
      value.value = await ask<T>(path);
      fault.value = null;
    } catch (error) {
      if (!(error instanceof ApiFault)) throw error;
      fault.value = error.message;
    }
  };
  useEffect(() => void load(), [path]);
  return { value, fault, load };
}
