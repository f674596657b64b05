import { AppError, type Code } from '../contract/errors.ts';
import type { ClockCorrection } from './clock-spans.ts';
import type { CutRefusal } from './quarantine.ts';
import type { RetentionRules } from './retention-rules.ts';
import type { OnlineState, RetainedMessage } from './store.ts';
import type { WaitingRow } from './waiting-packs-table.ts';

/** Of a commit all that is no readings; absent when there is nothing of it. */
export interface CommitRecords {
  refusals: CutRefusal[];
  online: OnlineState[];
  retained: RetainedMessage[];
  corrections: ClockCorrection[];
  /** Each as a batch of its own. */
  waits: WaitingRow[];
  settles: number[];
  counters: Record<string, number>;
}

export interface WriterData {
  readonly dir: string;
  readonly quarantineBytes: number;
  readonly tailBytes: number;
  readonly warm: boolean;
}

export type ToWriter =
  | {
      readonly kind: 'commit';
      readonly batch: Uint8Array<ArrayBuffer> | null;
      readonly records: CommitRecords | null;
    }
  | { readonly kind: 'settle' }
  | { readonly kind: 'retain'; readonly rules: RetentionRules; readonly now: number }
  | { readonly kind: 'stop' };

/** A fault on its way between threads. */
export interface Fault {
  readonly code: Code | null;
  readonly message: string;
}

export type FromWriter =
  // `lost`: what was committed before and is not there any more, a sentence.
  | { readonly kind: 'ready'; readonly lost: string | null }
  | { readonly kind: 'refused'; readonly fault: Fault }
  // With the memory of the batch, to be used again; commits up to `durable` are on disk; `free`: the next may be handed over.
  | {
      readonly kind: 'written';
      readonly seq: number;
      readonly batch: ArrayBuffer | null;
      readonly durable: number;
      readonly free: boolean;
    }
  | { readonly kind: 'durable'; readonly durable: number; readonly free: boolean }
  | { readonly kind: 'failed'; readonly fault: Fault; readonly batch: ArrayBuffer | null }
  | { readonly kind: 'settled'; readonly fault: Fault | null }
  | { readonly kind: 'retained'; readonly fault: Fault | null }
  // What had to be set aside, a sentence each.
  | { readonly kind: 'damaged'; readonly sentences: readonly string[] }
  | { readonly kind: 'trouble'; readonly fault: Fault };

export function toFault(error: unknown): Fault {
  if (error instanceof AppError) return { code: error.code, message: error.message };
  return { code: null, message: error instanceof Error ? (error.stack ?? error.message) : String(error) };
}

export function fromFault({ code, message }: Fault): Error {
  return code ? new AppError(code, message) : new Error(message);
}
