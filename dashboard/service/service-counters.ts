import type { Collector } from '../../collector/index.ts';
import type { Counter } from '../server/index.ts';
import { externalCounters } from './external-counters.ts';

const NONE = {} as const;

/** What the collector counts, in the names of `/metrics`. */
export function serviceCounters(collector: Collector): Counter[] {
  const { intake, broker, pendingBytes, storing } = collector.counts();
  const counter = (name: string, help: string, value: number): Counter => ({
    name,
    help,
    kind: 'counter',
    labels: NONE,
    value,
  });
  const gauge = (name: string, help: string, value: number): Counter => ({
    ...counter(name, help, value),
    kind: 'gauge',
  });
  return [
    counter('messages_committed_total', 'Messages whose readings are durable', intake.messages),
    counter('readings_committed_total', 'Readings that are durable, repeats included', intake.readings),
    counter('commits_total', 'Transactions of readings', intake.commits),
    counter('commit_seconds_total', 'Time that commits took together', intake.totalCommitMs / 1000),
    gauge('commit_longest_seconds', 'Longest commit since the start', intake.longestCommitMs / 1000),
    gauge('commit_largest_messages', 'Messages of the largest commit since the start', intake.largestCommitMessages),
    ...[...intake.refused].map(
      ([reason, value]): Counter => ({
        name: 'refused_total',
        help: 'Entries put into the quarantine, by reason',
        kind: 'counter',
        labels: { reason },
        value,
      }),
    ),
    counter('mqtt_acknowledged_total', 'Publications acknowledged', broker.acknowledged),
    counter('mqtt_faulted_total', 'Connections ended because of what they sent or failed to send', broker.faulted),
    counter('mqtt_denied_total', 'Connections, publications and filters that access control refused', broker.denied),
    counter('mqtt_throttled_total', 'Times that a station had sent too many messages to be read on', broker.throttled),
    gauge('mqtt_connections', 'Clients connected', broker.connections),
    gauge('mqtt_sessions', 'Sessions kept', broker.sessions),
    counter(
      'mqtt_not_forwarded_total',
      'Messages that subscribers did not get because of a limit',
      broker.notForwarded,
    ),
    counter('mqtt_not_retained_total', 'Messages that were not retained because of a limit', broker.notRetained),
    gauge('intake_pending_bytes', 'Payloads that wait for their commit', pendingBytes),
    gauge('intake_storing', '1 while the store takes readings', storing ? 1 : 0),
    ...externalCounters(collector),
  ];
}
