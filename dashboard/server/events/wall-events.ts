import { buildWall } from '../build-wall.ts';
import type { Context } from '../endpoint.ts';
import { coalesce } from './coalesce.ts';
import { EventHub, eventText, type HubLimits } from './event-hub.ts';

/** Source: a reading has to show within 2 s and a wall is not to flicker: own choice of two changes a second at most. */
const GAP_MS = 500;
/** Source: a lost connection has to show within 10 s: three heartbeats of 3 s missed and 1 s to spare. */
const HEARTBEAT_MS = 3000;
/** Source: own choice, because a hall has some screens and phones, and 256 kB are more than 20 walls of 24 guns. */
const LIMITS: HubLimits = { clients: 60, waitingBytes: 256 * 1024 };

/** The event stream of the wall: the whole wall on every change, and a heartbeat. */
export class WallEvents {
  readonly #context: Context;
  readonly hub: EventHub;
  #stops: (() => void)[] = [];

  constructor(context: Context, limits: Partial<HubLimits> = {}) {
    this.#context = context;
    this.hub = new EventHub({ ...LIMITS, ...limits });
  }

  /** The event that brings a page up to date. */
  wallText(): string {
    return eventText('wall', buildWall(this.#context, this.#context.clock.now()));
  }

  start(): void {
    const { sources, clock } = this.#context;
    const changes = coalesce(clock, GAP_MS, () => {
      if (this.hub.clients > 0) this.hub.send(this.wallText());
    });
    this.#stops = [
      sources.onChange(changes.ask),
      changes.stop,
      clock.every(HEARTBEAT_MS, () => this.hub.send(eventText('heartbeat', { now: clock.now() }))),
    ];
  }

  stop(): void {
    for (const stop of this.#stops) stop();
    this.#stops = [];
    this.hub.close();
  }
}
