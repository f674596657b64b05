import { createHash } from 'node:crypto';
import type { LookupFunction } from 'node:net';
import type { Log, OperationConfig, OutboxEntry, Store } from '../../collector/index.ts';
import type { Wording } from './messages.ts';
import { NeverDelivered, postWebhook } from './post-webhook.ts';
import { nextTry } from './retry.ts';
import { sendMail } from './send-mail.ts';
import { signWebhook } from './sign-webhook.ts';
import { targetsOf } from './targets.ts';

export interface PostmanOptions {
  readonly store: Store;
  readonly config: OperationConfig['telling'];
  readonly now: () => number;
  /** Number in [0, 1). */
  readonly random: () => number;
  readonly log: Log;
  /** Finds addresses of a name; the system's by default. */
  readonly lookup?: LookupFunction;
}

/** How often the outbox is looked into while nobody wakes us, ms. Source: own choice: the shortest pause before a retry. */
const LOOK_MS = 15_000;
/** Messages of a target on their way in one go. */
const AT_ONCE = 20;
/** How long what went out or was given up is kept, ms. Source: own choice: a quarter. */
const KEPT_MS = 92 * 86_400_000;

/** Takes messages out of the outbox and to their targets. Each target has a round of its own: a dead one holds up no other. */
export class Postman {
  readonly #options: PostmanOptions;
  readonly #ended = new AbortController();
  readonly #rounds = new Map<string, Promise<void>>();
  #again = new Set<string>();
  #timer: NodeJS.Timeout | null = null;

  constructor(options: PostmanOptions) {
    this.#options = options;
  }

  start(): void {
    this.#timer ??= setInterval(() => this.wake(), LOOK_MS);
    this.#options.store.outbox.forget(this.#options.now() - KEPT_MS);
    this.wake();
  }

  /** Looks into the outbox now; does not wait for what goes out. */
  wake(): void {
    if (this.#timer === null || this.#ended.signal.aborted) return;
    for (const target of targetsOf(this.#options.config)) {
      if (this.#rounds.has(target)) {
        this.#again.add(target);
        continue;
      }
      const round = this.#round(target)
        .catch((error: unknown) => this.#options.log.error({ error: String(error), target }, 'telling failed'))
        .finally(() => {
          this.#rounds.delete(target);
          if (this.#again.delete(target)) this.wake();
        });
      this.#rounds.set(target, round);
    }
  }

  /** What is on its way is broken off; it waits in the outbox for the next start. */
  async stop(): Promise<void> {
    if (this.#timer !== null) clearInterval(this.#timer);
    this.#timer = null;
    this.#ended.abort();
    // A mail server that does not answer must not hold up the end: its message stays in the outbox.
    await Promise.race([
      Promise.all(this.#rounds.values()),
      new Promise((resolve) => setTimeout(resolve, 500).unref()),
    ]);
  }

  async #round(target: string): Promise<void> {
    const { store, now, random, log } = this.#options;
    for (const entry of store.outbox.due(target, now(), AT_ONCE)) {
      let fault: unknown = null;
      try {
        await this.#deliver(entry);
      } catch (error) {
        fault = error;
      }
      if (this.#ended.signal.aborted) return;
      if (fault === null) {
        store.outbox.sent(entry.id, now());
        continue;
      }
      const says = fault instanceof Error ? fault.message : String(fault);
      const again =
        fault instanceof NeverDelivered
          ? null
          : nextTry({ createdAt: entry.createdAt, attempts: entry.attempts + 1 }, now(), random());
      store.outbox.failed(entry.id, says.slice(0, 500), now(), again);
      log.warn(
        { target, fault: says, again },
        again === null ? 'a message was given up' : 'a message was not delivered',
      );
      // The others of this target would fare alike; they keep their turn.
      if (again !== null) return;
    }
  }

  async #deliver({ target, key, id, body }: OutboxEntry): Promise<void> {
    const { config, now, lookup } = this.#options;
    if (target === 'mail') {
      const { subject, text } = body as Wording;
      const domain = config.mail.from.split('@')[1] ?? 'driftline';
      await sendMail(config.mail, { subject, text, messageId: `<driftline-${id}-${hashOf(key)}@${domain}>` });
      return;
    }
    const webhook = config.webhooks.find(({ name }) => target === `webhook:${name}`);
    if (!webhook) throw new NeverDelivered(`${target} is not in the configuration any more`);
    const text = JSON.stringify(body);
    const timestamp = Math.floor(now() / 1000);
    const message = `msg-${id}-${hashOf(key)}`;
    await postWebhook({
      url: webhook.url,
      body: text,
      headers: {
        'webhook-id': message,
        'webhook-timestamp': String(timestamp),
        'webhook-signature': signWebhook(webhook.secret, message, timestamp, text),
      },
      allowPrivate: config.allowPrivate,
      signal: this.#ended.signal,
      ...(lookup ? { lookup } : {}),
    });
  }
}

/** Short and stable, so that a message sent again has the id that it had. */
function hashOf(key: string): string {
  return createHash('sha256').update(key).digest('hex').slice(0, 16);
}
