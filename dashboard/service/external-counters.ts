import type { Collector } from '../../collector/index.ts';
import type { Counter } from '../server/index.ts';

/** What is counted of the external broker, in the names of `/metrics`; nothing while none is configured. */
export function externalCounters(collector: Collector): Counter[] {
  const { external } = collector.counts();
  if (external === null) return [];
  const named =
    (kind: Counter['kind']) =>
    (name: string, help: string, value: number): Counter => ({
      name: `external_broker_${name}`,
      help,
      kind,
      labels: {},
      value,
    });
  const [counter, gauge] = [named('counter'), named('gauge')];
  return [
    gauge('connected', '1 while connected to the external broker', external.connected ? 1 : 0),
    gauge('mqtt_version', 'Version spoken with it: 5, or 4 for 3.1.1; 0 while not connected', external.version ?? 0),
    counter('connections_total', 'Connections to it that came about', external.connections),
    counter('failures_total', 'Connections to it that broke or did not come about', external.failures),
    counter('received_total', 'Messages that it handed over, repeats included', external.received),
    counter('acknowledged_total', 'Messages of its that are durable and acknowledged', external.acknowledged),
    counter('retained_skipped_total', 'Retained readings of its, which are not taken', external.retainedSkipped),
    gauge('waiting', 'Messages of its that wait for their commit', external.waiting),
    gauge('unpublished', 'Conditions that it has not acknowledged', external.unpublished),
  ];
}

/** One sentence why the external broker brings nothing; null while it does, or where there is none. */
export function externalTrouble(collector: Collector): string | null {
  const fault = collector.counts().external?.fault ?? null;
  return fault === null ? null : `nothing comes from the external broker: ${fault}`;
}
