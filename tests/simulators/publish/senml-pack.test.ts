import { describe, expect, it } from 'vitest';
import { CHANNEL_NAMES, type Channel } from '../../../collector/contract/channels.ts';
import { SenmlPacks } from '../../../simulators/publish/senml-pack.ts';
import type { Sent } from '../../../simulators/sensors/transport.ts';
import { runDay } from '../../../simulators/simulation.ts';
import { smallHall } from '../small-hall.ts';

interface Record_ {
  bn?: string;
  bt?: number;
  n?: string;
  t?: number;
  v?: number;
  vb?: boolean;
  vs?: string;
}

/** Resolves a pack by RFC 8428, sections 4.5.1 to 4.5.3: base fields hold until they come again. */
function resolve(pack: Buffer): { name: string; timeMs: number; value: number | boolean | string }[] {
  let base = '';
  let start = 0;
  return (JSON.parse(pack.toString()) as Record_[]).map((record) => {
    base = record.bn ?? base;
    start = record.bt ?? start;
    const value = record.v ?? record.vb ?? record.vs;
    if (value === undefined) throw new Error('a record without a value');
    return { name: base + (record.n ?? ''), timeMs: Math.round((start + (record.t ?? 0)) * 1000), value };
  });
}

function firstSent(): Sent {
  const hall = smallHall({ weeks: 1, guns: 1 });
  return runDay(hall, hall.work.days[1]!).sent[0]!;
}

const NODE = 'urn:dev:mac:020000000001';

describe('SenML packs of a simulated node', () => {
  const sent = firstSent();

  it('say in bulk every number once, at its time', () => {
    const pack = new SenmlPacks(NODE, false).bulk(sent, [...sent.rows.keys()])!;
    const read = new Map(resolve(pack).map(({ name, timeMs, value }) => [`${name}@${timeMs}`, value]));
    let said = 0;
    for (const channel of CHANNEL_NAMES.filter((name) => name !== 'trigger' && name !== 'powder/id'))
      for (const [place, row] of sent.rows.entries()) {
        const value = sent.frames.columns[channel]?.[row];
        if (value === undefined || Number.isNaN(value)) continue;
        expect(read.get(`${NODE}:${channel}@${sent.stamps[place]}`)).toBeCloseTo(value, 3);
        said++;
      }
    expect(said).toBeGreaterThan(5000);
  });

  it('say a state when it changes, so that holding it gives all of it back', () => {
    const pack = new SenmlPacks(NODE, false).bulk(sent, [...sent.rows.keys()])!;
    const told = resolve(pack).filter(({ name }) => name === `${NODE}:trigger`);
    let next = 0;
    let held: unknown;
    for (const [place, row] of sent.rows.entries()) {
      while (next < told.length && told[next]!.timeMs <= sent.stamps[place]!) held = told[next++]!.value;
      expect(held).toBe(sent.frames.columns.trigger![row] === 1);
    }
    expect(told.length).toBeLessThan(sent.rows.length / 2);
  });

  it('say live all channels of one report, with units', () => {
    const place = sent.rows.findIndex((row) => sent.frames.columns.trigger![row] === 1);
    const read = resolve(new SenmlPacks(NODE, false).single(sent, place));
    const row = sent.rows[place]!;
    const fitted = (Object.keys(sent.frames.columns) as Channel[]).filter(
      (channel) => !Number.isNaN(sent.frames.columns[channel]![row]!),
    );
    expect(new Set(read.map(({ name }) => name))).toEqual(new Set(fitted.map((channel) => `${NODE}:${channel}`)));
    expect(read.every(({ timeMs }) => timeMs === sent.stamps[place])).toBe(true);
    expect(read.find(({ name }) => name.endsWith('trigger'))!.value).toBe(true);
  });

  it('say nothing when there is nothing', () => {
    expect(new SenmlPacks(NODE, false).bulk(sent, [])).toBeNull();
  });
});
