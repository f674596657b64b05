import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { mayMatchReadings, parseTopic } from '../../../collector/broker/topics.ts';

describe('topics', () => {
  test.each([
    ['airlines/hall-2/gun-01', 'readings'],
    ['airlines/hall-2/gun-01/online', 'online'],
    ['airlines/hall-2/gun-01/condition', 'condition'],
    ['airlines', 'unknown'],
    ['airlines/', 'unknown'],
    ['airlines/hall-2', 'unknown'],
    ['airlines/hall-2/', 'unknown'],
    ['airlines//gun-01', 'unknown'],
    ['airlines/hall-2/gun-01/', 'unknown'],
    ['airlines/hall-2/gun-01/Online', 'unknown'],
    ['airlines/hall-2/gun-01/online/x', 'unknown'],
    ['airlines-2/hall-2/gun-01', 'foreign'],
    ['/airlines/hall-2/gun-01', 'foreign'],
    ['x', 'foreign'],
  ])('%s is %s', (name, kind) => {
    expect(parseTopic('airlines', name).kind).toBe(kind);
  });

  test('a root of several levels is taken off as a whole', () => {
    expect(parseTopic('plant/air', 'plant/air/hall-2/gun-01')).toEqual({
      name: 'plant/air/hall-2/gun-01',
      kind: 'readings',
      site: 'hall-2',
      station: 'gun-01',
    });
  });

  test('a filter may match readings exactly when some topic of readings matches it', () => {
    // Matching by MQTT 3.1.1 section 4.7.1, written out level by level.
    const matches = (filter: string[], topic: string[]): boolean => {
      if (filter[0] === '#') return true;
      if (filter.length === 0 || topic.length === 0) return filter.length === topic.length;
      return (filter[0] === '+' || filter[0] === topic[0]) && matches(filter.slice(1), topic.slice(1));
    };
    const level = fc.constantFrom('airlines', 'a', 'b', '+', 'online');
    const filters = fc.tuple(fc.array(level, { minLength: 1, maxLength: 5 }), fc.boolean());
    fc.assert(
      fc.property(filters, ([levels, open]) => {
        const filter = open ? [...levels, '#'] : levels;
        const names = ['airlines', 'a', 'b', 'online'];
        const any = names.some((site) => names.some((station) => matches(filter, ['airlines', site, station])));
        expect(mayMatchReadings('airlines', filter.join('/'))).toBe(any);
      }),
    );
  });
});
