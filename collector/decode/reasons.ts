/**
 * Why a reading, record, row, pack or message was refused: a stable word, counted and shown, with its plain wording.
 * Never rename one: quarantines and counters of years refer to it.
 */
export const REASONS = {
  // whole messages
  'unknown-topic': 'neither a station nor its online state',
  'topic-not-allowed': 'a topic that driftline alone publishes on',
  'not-an-online-state': 'neither true nor false',
  'fault-of-ours': 'met a fault of our own',
  // whole packs
  'too-large': 'larger than the limit',
  'not-utf8': 'not UTF-8',
  'not-json': 'not JSON',
  'not-senml': 'breaks RFC 8428',
  'unknown-site': 'unknown site',
  'unknown-station': 'unknown station',
  // messages that the configuration maps
  'nothing-mapped': 'nothing of it is mapped',
  'no-time': 'no time where one is mapped',
  'not-sparkplug': 'breaks the Sparkplug payload definition',
  'unknown-metric': 'metric without a birth',
  'bad-quality': 'stated as bad or stale',
  // records of a pack
  'unknown-channel': 'unknown channel',
  'unknown-unit': 'unknown unit',
  'wrong-dimension': 'unit of the wrong dimension',
  'wrong-kind': 'wrong kind of value',
  'no-value': 'sum without value',
  // rows of a file
  ragged: 'ragged',
  'line-too-long': 'line too long',
  'unknown-gun': 'unknown gun',
  'time-without-offset': 'time without offset',
  'time-unreadable': 'unreadable time',
  // readings, whichever way they came
  'before-2000': 'time before 2000',
  'far-from-median': "more than 5 years from the files' median time",
  'ahead-of-clock': "more than 5 minutes ahead of the receiver's clock",
  'not-a-number': 'not a number',
  'not-a-trigger': 'trigger other than 0/1',
  'unusable-name': 'unusable powder id',
  'out-of-range': 'outside its limits',
} as const;

export type Reason = keyof typeof REASONS;
