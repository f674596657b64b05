import { createRequire } from 'node:module';
import type { org } from 'sparkplug-payload/lib/sparkplugPayloadProto.js';

// The package is CommonJS. Its own decodePayload needs every metric's datatype, which DATA messages may leave out and a birth
// has stated, so its protobuf messages are used themselves.
const proto = createRequire(import.meta.url)('sparkplug-payload/lib/sparkplugPayloadProto.js') as { org: typeof org };
const Payload = proto.org.eclipse.tahu.protobuf.Payload;

/** A metric as it came; numbers of 64 bits are ordinary ones. */
export interface SparkplugMetric {
  readonly name: string | null;
  readonly alias: number | null;
  /** Epoch ms. */
  readonly timestamp: number | null;
  /** Sparkplug 3.0.0 section 6.4.16; 0 when it is not stated. */
  readonly datatype: number;
  readonly historical: boolean;
  /** Of the property "Quality" (section 6.4.15.1): 192 good, 0 bad, 500 stale; null when it is not stated. */
  readonly quality: number | null;
  /** The value once the datatype is known: null for none, undefined for what is no number, state or text. */
  value(datatype: number): number | boolean | string | null | undefined;
}

export interface SparkplugPayload {
  readonly timestamp: number | null;
  readonly seq: number | null;
  readonly metrics: readonly SparkplugMetric[];
}

type Raw = org.eclipse.tahu.protobuf.Payload.IMetric;

/** Datatype codes. Source: Sparkplug 3.0.0 section 6.4.16, table of basic types. */
export const DATATYPE = { Int8: 1, Int16: 2, Int32: 3, Int64: 4, UInt8: 5, UInt16: 6, UInt32: 7, UInt64: 8 } as const;
const [FLOAT, DOUBLE, BOOLEAN, STRING, DATE_TIME, TEXT, UUID] = [9, 10, 11, 12, 13, 14, 15] as const;

/** Kinds that hold no single value, by their codes. Source: Sparkplug 3.0.0 section 6.4.16, tables of additional, property and array types. */
const KINDS: ReadonlyMap<number, string> = new Map([
  [16, 'a data set'],
  [17, 'bytes'],
  [18, 'a file'],
  [19, 'a template'],
  [20, 'a set of properties'],
  [21, 'a list of properties'],
]);
const [FIRST_ARRAY, LAST_ARRAY] = [22, 34];

/** What a metric without a usable value holds, in words. */
export function unusedKind(datatype: number): string {
  if (datatype >= FIRST_ARRAY && datatype <= LAST_ARRAY) return 'an array';
  return KINDS.get(datatype) ?? (datatype <= UUID ? 'no value of its datatype' : `datatype ${datatype}`);
}

/** Decodes a payload; the fault in words when the bytes are none. */
export function readSparkplugPayload(bytes: Uint8Array): SparkplugPayload | string {
  let raw: org.eclipse.tahu.protobuf.Payload;
  try {
    raw = Payload.decode(bytes);
  } catch (error) {
    // Whatever protobuf throws, it is the payload's fault: it reads nothing else.
    const why = error instanceof RangeError ? 'a message that breaks off' : 'what is no protobuf message';
    return `found ${why} (${bytes.length} bytes), expected a Sparkplug payload`;
  }
  return {
    timestamp: Object.hasOwn(raw, 'timestamp') ? whole(raw.timestamp) : null,
    seq: Object.hasOwn(raw, 'seq') ? whole(raw.seq) : null,
    metrics: raw.metrics.map(readMetric),
  };
}

/** Encodes the command that asks an edge node for its births. Source: Sparkplug 3.0.0 section 6.4.6, "Node Control/Rebirth". */
export function rebirthCommand(nowMs: number): Buffer {
  const metric = { name: 'Node Control/Rebirth', timestamp: nowMs, datatype: BOOLEAN, booleanValue: true };
  return Buffer.from(Payload.encode(Payload.create({ timestamp: nowMs, metrics: [metric] })).finish());
}

function readMetric(raw: Raw): SparkplugMetric {
  const has = (key: keyof Raw): boolean => Object.hasOwn(raw, key);
  const historical = raw.isHistorical === true;
  return {
    name: has('name') && raw.name ? raw.name : null,
    alias: has('alias') ? whole(raw.alias) : null,
    timestamp: has('timestamp') ? whole(raw.timestamp) : null,
    datatype: has('datatype') ? (raw.datatype ?? 0) : 0,
    historical,
    quality: qualityOf(raw),
    value: (datatype) => (raw.isNull === true ? null : metricValue(raw, datatype)),
  };
}

function qualityOf({ properties }: Raw): number | null {
  const index = properties?.keys?.indexOf('Quality') ?? -1;
  const property = index < 0 ? undefined : properties?.values?.[index];
  return property === undefined || property.isNull === true ? null : (property.intValue ?? whole(property.longValue));
}

function metricValue(raw: Raw, datatype: number): number | boolean | string | undefined {
  switch (datatype) {
    case DATATYPE.Int8:
      return integer(raw, (bits) => (bits << 24) >> 24);
    case DATATYPE.Int16:
      return integer(raw, (bits) => (bits << 16) >> 16);
    case DATATYPE.Int32:
      return integer(raw, (bits) => bits | 0);
    case DATATYPE.UInt8:
    case DATATYPE.UInt16:
      return integer(raw, (bits) => bits);
    case DATATYPE.UInt32:
      // Some libraries put it into the field of 64 bits, some into that of 32.
      return Object.hasOwn(raw, 'longValue') ? (whole(raw.longValue) ?? undefined) : integer(raw, (bits) => bits >>> 0);
    case DATATYPE.Int64:
      return signed(raw.longValue);
    case DATATYPE.UInt64:
    case DATE_TIME:
      return Object.hasOwn(raw, 'longValue') ? (whole(raw.longValue) ?? undefined) : undefined;
    case FLOAT:
      return own(raw, 'floatValue');
    case DOUBLE:
      return own(raw, 'doubleValue');
    case BOOLEAN:
      return own(raw, 'booleanValue');
    case STRING:
    case TEXT:
    case UUID:
      return own(raw, 'stringValue');
    default:
      return undefined;
  }
}

function own<Key extends 'floatValue' | 'doubleValue' | 'booleanValue' | 'stringValue'>(
  raw: Raw,
  key: Key,
): NonNullable<Raw[Key]> | undefined {
  return Object.hasOwn(raw, key) ? (raw[key] ?? undefined) : undefined;
}

function integer(raw: Raw, read: (bits: number) => number): number | undefined {
  return Object.hasOwn(raw, 'intValue') && raw.intValue != null ? read(raw.intValue) : undefined;
}

type Int64 = number | { toNumber(): number; toSigned(): { toNumber(): number } } | null | undefined;

/** A field of 64 bits, unsigned; above 2^53 rounded, which no reading and no time needs. */
function whole(value: Int64): number | null {
  if (value == null) return null;
  return typeof value === 'number' ? value : value.toNumber();
}

function signed(value: Int64): number | undefined {
  if (value == null) return undefined;
  return typeof value === 'number' ? value : value.toSigned().toNumber();
}
