import { Client, type ClientLink } from './client.ts';
import type { ConnectVerdict } from './connect-packet.ts';
import type { ConnectionHost } from './connection-host.ts';

/** A client that is let in, or why a CONNECT is refused: with a return code (MQTT 3.1.1 table 3.1), or without an answer. */
export type Admission =
  | { readonly ok: true; readonly client: Client; readonly present: boolean }
  | { readonly ok: false; readonly returnCode: number | null; readonly fault: string };

/** Asks access control and the sessions about a CONNECT. A refused one has ended nobody else's connection. */
export function admit(read: ConnectVerdict, host: ConnectionHost, link: ClientLink): Admission {
  if (!read.ok) return read;
  const { connect } = read;
  const { access, sessions, counters } = host;
  const who = access.authenticate(connect);
  if (!who.ok) {
    counters.denied++;
    return who;
  }
  if (connect.will !== null && !access.mayPublish(who.account, host.topicOf(connect.will.topic))) {
    counters.denied++;
    const fault = `its account may not publish its will to ${JSON.stringify(connect.will.topic)}`;
    return { ok: false, returnCode: 5, fault };
  }
  if (!host.hasRoomFor(who.account) && !sessions.hasPlaceOf(connect.clientId, who.account)) {
    counters.denied++;
    return {
      ok: false,
      returnCode: 3,
      fault: `its account has ${host.limits.maxConnectionsOfAccount} connections already`,
    };
  }
  const opened = sessions.open(connect, who.account, link);
  if (!opened.ok) return opened;
  host.willBefore(opened.session.clientId);
  return { ok: true, client: new Client(host, link, connect, opened.session), present: opened.present };
}
