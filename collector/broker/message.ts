import type { Qos } from './connect-packet.ts';

/** An application message on its way to subscribers. */
export interface Message {
  readonly topic: string;
  /** Nobody else's bytes: queues and retained messages keep it. */
  readonly payload: Buffer;
  readonly qos: Qos;
  /** As a subscriber gets it with QoS 0, once one has. */
  plainPacket?: Buffer;
}
