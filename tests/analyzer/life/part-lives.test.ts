import { describe, expect, it } from 'vitest';
import { partLives } from '../../../analyzer/life/part-lives.ts';
import { type UseHour, useBetween } from '../../../analyzer/life/use-hours.ts';
import type { LogEntry } from '../../../collector/contract/index.ts';

const HOUR = 3_600_000;
/** Half a spray hour and 5 kg in each of so many hours. */
const use = (hours: number, powder = 'smooth-white'): UseHour[] =>
  Array.from({ length: hours }, (_, hour) => ({
    time: hour * HOUR,
    powder,
    sprayHours: 0.5,
    kilograms: 5,
    unweighed: 0,
  }));
const entry = (hour: number, action: LogEntry['action'], found: LogEntry['found'] = null): LogEntry => ({
  time: hour * HOUR,
  gun: 'gun-01',
  part: 'pump-insert',
  action,
  found,
  note: '',
});
const lives = (log: LogEntry[], hours = use(100)) =>
  partLives('gun-01', log, hours, (powder) => powder.split('-')[0]!, 100 * HOUR);

describe('lives of parts', () => {
  it('run from change to change on spray hours and kilograms, the last one still in use', () => {
    expect(lives([entry(10, 'replaced', 'worn'), entry(30, 'replaced', 'worn'), entry(70, 'replaced')]).lives).toEqual([
      {
        gun: 'gun-01',
        part: 'pump-insert',
        from: 10 * HOUR,
        to: 30 * HOUR,
        end: 'worn',
        sprayHours: 10,
        kilograms: 100,
        family: 'smooth',
      },
      expect.objectContaining({ end: 'not looked at', sprayHours: 20 }),
      expect.objectContaining({ end: 'in use', sprayHours: 15, to: 100 * HOUR }),
    ]);
  });

  it('do not begin before a logged change: what was fitted at the start is left out and counted', () => {
    const told = lives([entry(10, 'replaced', 'failed')]);
    expect(told.lives.map(({ end }) => end)).toEqual(['in use']);
    expect(told.left).toEqual({ 'no start': 1, 'no readings': 0, 'not used': 0 });
  });

  it('end at the inspection that found the part worn, once', () => {
    const told = lives([entry(0, 'replaced'), entry(20, 'inspected', 'worn'), entry(24, 'replaced', 'failed')]);
    expect(told.lives.map(({ end, sprayHours }) => [end, sprayHours])).toEqual([
      ['worn', 10],
      ['in use', 38],
    ]);
  });

  it('go on after an inspection that found the part good', () => {
    const told = lives([entry(0, 'replaced'), entry(20, 'inspected', 'good'), entry(40, 'replaced', 'worn')]);
    expect(told.lives.map(({ end, sprayHours }) => [end, sprayHours])).toEqual([
      ['worn', 20],
      ['in use', 30],
    ]);
  });

  it('are left out where nothing was sprayed or readings began later', () => {
    expect(lives([entry(10, 'replaced'), entry(10, 'replaced', 'good')]).left['not used']).toBe(1);
    const late = use(100).filter(({ time }) => time >= 50 * HOUR);
    expect(lives([entry(10, 'replaced'), entry(60, 'replaced', 'worn')], late).left['no readings']).toBe(1);
  });

  it('belong to the family of the powder that made up two thirds, else are mixed', () => {
    const hours = [...use(60), ...use(100, 'metallic-silver').slice(60)];
    expect(lives([entry(0, 'replaced')], hours).lives[0]!.family).toBe('mixed');
    expect(lives([entry(45, 'replaced')], hours).lives[0]!.family).toBe('metallic');
  });

  it('have powder filled in at the known rate, and none where most was not weighed', () => {
    const unweighed = (count: number) =>
      use(40).map((hour, index) => (index < count ? { ...hour, kilograms: 0, unweighed: hour.sprayHours } : hour));
    expect(useBetween(unweighed(5), 0, 40 * HOUR).kilograms).toBe(200);
    expect(useBetween(unweighed(5), 5 * HOUR, 40 * HOUR).kilograms).toBe(175);
    expect(useBetween(unweighed(21), 0, 40 * HOUR).kilograms).toBeNull();
  });
});
