import { filtersPacket, joined, type WireClient } from './wire-client.ts';

/** What clients do to a broker, and what they get to see. Statement numbers: MQTT 3.1.1, OASIS Standard, appendix B. */
export interface Exchange {
  readonly name: string;
  run(port: number): Promise<string[]>;
  readonly expected: readonly string[];
  /** Why another broker that is no less conformant shows something else. */
  readonly otherwise?: string;
}

/** Packet types of acknowledgements, and first bytes and flags of PUBLISH: MQTT 3.1.1, tables 2.1 and 2.2. */
export const PUBACK = 4;
export const PUBREC = 5;
export const PUBREL = 6;
export const PUBCOMP = 7;
export const QOS0 = 0x30;
export const QOS1 = 0x32;
export const QOS2 = 0x34;
export const RETAIN = 1;
export const DUP = 8;

/** Of CONNECT, with clean session 0. */
export const away = { flags: 0 };
/** A client that has subscribed. */
export const subscribed = async (
  port: number,
  id: string,
  filters: readonly (readonly [string, number])[],
  flags = 2,
): Promise<WireClient> => {
  const { client } = await joined(port, { id, flags });
  client.send(filtersPacket(filters));
  await client.take(1);
  return client;
};
/** Publishes from a client of its own and waits until the broker has them all. */
export const published = async (port: number, ...messages: Buffer[]): Promise<void> => {
  const { client } = await joined(port, { id: 'sender' });
  await client.send(...messages).untilPong();
  await client.leave();
};
