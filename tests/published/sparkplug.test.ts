import { expect, test } from 'vitest';
import { readSparkplugPayload } from '../../collector/decode/sparkplug/sparkplug-payload.ts';
import { parseSparkplugTopic } from '../../collector/decode/sparkplug/sparkplug-topic.ts';
import { fixture } from './fixture.ts';

// Payloads of the Sparkplug specification 3.0.0, as the Eclipse reference library encodes and decodes them.
interface Long {
  readonly __long: string;
}
type Value = number | boolean | string | null | Long;
interface Case {
  readonly name: string;
  readonly topic: string;
  readonly encoded_hex: string;
  readonly input: { readonly metrics: readonly { readonly type: string }[] };
  readonly decoded: {
    readonly timestamp: Long;
    readonly seq?: Long;
    readonly metrics: readonly {
      name?: string;
      alias?: Long;
      timestamp?: Long;
      value: Value;
      isHistorical?: boolean;
    }[];
  };
}
const number = (value: Long | undefined): number | null => (value === undefined ? null : Number(value.__long));
const plain = (value: Value): unknown => (typeof value === 'object' && value !== null ? number(value) : value);
const { cases } = fixture('E-sparkplug-payloads') as { cases: readonly Case[] };

test.each(cases.map((one) => [one.name, one] as const))('%s is read as the reference library reads it', (_, one) => {
  const payload = readSparkplugPayload(Buffer.from(one.encoded_hex, 'hex'));
  if (typeof payload === 'string') throw new Error(payload);
  const { timestamp, seq, metrics } = payload;
  expect([timestamp, seq]).toEqual([number(one.decoded.timestamp), number(one.decoded.seq)]);
  expect(
    metrics.map((metric) => [
      metric.name,
      metric.alias,
      metric.timestamp,
      metric.historical,
      metric.value(metric.datatype),
    ]),
  ).toEqual(
    one.decoded.metrics.map((metric) => [
      metric.name ?? null,
      number(metric.alias),
      number(metric.timestamp),
      metric.isHistorical === true,
      plain(metric.value),
    ]),
  );
  expect(parseSparkplugTopic(one.topic)?.type).toBe(one.topic.split('/')[2]);
});
