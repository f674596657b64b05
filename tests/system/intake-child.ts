import { OperationConfig } from '../../collector/config.ts';
import { Plant } from '../../collector/contract/index.ts';
import { startCollector } from '../../collector/intake/start-collector.ts';
import type { Log } from '../../collector/log.ts';

// A collector in a process of its own: `intake-child.ts DIR PORT [EXTERNAL]`. Says "ready PORT" when it takes readings,
// logs to standard error, and stops on SIGTERM.
const [dir, port, external] = process.argv.slice(2);
const say = (fields: object, message: string): void =>
  void process.stderr.write(`${message} ${JSON.stringify(fields)}\n`);
const log: Log = { info: say, warn: say, error: say };
const guns = Array.from({ length: 8 }, (_, index) => ({ id: `gun-0${index + 1}` }));
const collector = await startCollector({
  plant: Plant.parse({ site: { id: 'hall-2', timezone: 'Europe/Vienna' }, guns }),
  dir: dir!,
  config: OperationConfig.parse({ broker: { port: Number(port) }, externalBroker: { url: external ?? null } }),
  now: Date.now,
  clock: () => performance.now(),
  log,
});
process.once('SIGTERM', () => void collector.stop().then(() => process.exit(0)));
process.stdout.write(`ready ${collector.port}\n`);
