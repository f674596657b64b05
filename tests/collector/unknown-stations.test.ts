import { expect, test } from 'vitest';
import { OperationConfig } from '../../collector/config.ts';
import { Plant } from '../../collector/contract/index.ts';
import { unknownStations } from '../../collector/unknown-stations.ts';

const plant = Plant.parse({
  site: { id: 'hall-2', timezone: 'Europe/Vienna' },
  guns: [{ id: 'gun-01' }],
  air: [{ id: 'dryer-out' }],
});
const channels = [{ channel: 'conveying/pressure', path: '$.p', unit: 'kPa' }];
const mapping = (station: unknown) => ({ topic: 'gateway/+', station, channels });

test.each([
  ['gun-01', []],
  ['dryer-out', []],
  [{ path: '$.device' }, []],
  [{ level: 2, names: { left: 'gun-01', right: 'gun-02' } }, ['mappings[0].station: found gun-02']],
  ['gun-7', ['mappings[0].station: found gun-7']],
])('a mapping to %j tells of stations that the plant does not have', (station, told) => {
  const config = OperationConfig.parse({ mappings: [mapping(station)] });
  expect(unknownStations(config, plant)).toEqual(
    told.map((start) => `${start}, which the plant does not have: what comes for it will be refused`),
  );
});

test('so does a Sparkplug source', () => {
  const metrics = [{ metric: 'Air/P', channel: 'conveying/pressure', unit: 'kPa' }];
  const config = OperationConfig.parse({
    sparkplug: {
      sources: [{ node: 'edge', device: '+', station: { from: 'device', names: { A: 'gun-9' } }, metrics }],
    },
  });
  expect(unknownStations(config, plant)).toEqual([
    'sparkplug.sources[0].station: found gun-9, which the plant does not have: what comes for it will be refused',
  ]);
});
