import type { RetainedMessage } from '../store/store.ts';

/** In front of the topics of births that are kept: nobody can publish there, so they never meet a broker's own messages. */
const PREFIX = '$births/';

/** A birth as it is kept beside the retained messages; an empty payload forgets it. */
export function keptBirth({ topic, payload }: { readonly topic: string; readonly payload: Buffer }): RetainedMessage {
  return { topic: PREFIX + topic, payload, qos: 0 };
}

/** The births among what was kept. */
export function birthsOf(kept: readonly RetainedMessage[]): { readonly topic: string; readonly payload: Uint8Array }[] {
  return kept
    .filter(({ topic }) => topic.startsWith(PREFIX))
    .map(({ topic, payload }) => ({ topic: topic.slice(PREFIX.length), payload }));
}
