import type { ConnectPacket } from './connect-packet.ts';
import type { Topic } from './topics.ts';

/** What access control makes of a CONNECT: the account it belongs to, or an MQTT 3.1.1 return code (table 3.1). */
export type AccessVerdict =
  | { readonly ok: true; readonly account: string }
  | { readonly ok: false; readonly returnCode: 2 | 4 | 5; readonly fault: string };

/**
 * Who may connect, publish and subscribe. Asked for every CONNECT, for every publish (QoS 0 to 2, wills at CONNECT), and
 * for each filter of a SUBSCRIBE. Answers at once: the broker waits for nobody.
 */
export interface BrokerAccess {
  authenticate(connect: ConnectPacket): AccessVerdict;
  /** False: the message is acknowledged and goes nowhere [MQTT-3.3.5-2]; a will makes its CONNECT be refused. */
  mayPublish(account: string, topic: Topic): boolean;
  /** False: this filter gets return code 128, the others of its SUBSCRIBE are not touched. */
  maySubscribe(account: string, filter: string): boolean;
}

/** Without accounts everybody who reaches the port, which is then on loopback only, is one and the same. */
export const openAccess: BrokerAccess = {
  authenticate: () => ({ ok: true, account: '' }),
  mayPublish: () => true,
  maySubscribe: () => true,
};
