import { setTimeout as pause } from 'node:timers/promises';
import mqtt from 'mqtt';

// Sensor nodes in a process of their own: `publisher-child.ts PORT GUNS WINDOW`. Each publishes packs with QoS 1, keeps
// WINDOW of them in flight, and after a broken connection comes back and sends again what was not acknowledged.
// Tells its parent how many packs are acknowledged; on "stop" sends nothing new, waits for the rest, and reports.

/** Event time of a gun's first pack, epoch ms, and between its packs, ms. */
const START_MS = 1_764_057_600_000;
const STEP_MS = 1000;
/** Between an acknowledgement and the next pack, ms: what is sent while the service starts must not outgrow it on a busy machine. */
const REST_MS = 200;

/** Value of a gun's reading, a function of its number in the row, so that what must be stored is known. */
const flow = (gun: number, sequence: number): number => (1000 + ((37 * gun + 11 * sequence) % 900)) / 1000;

const [port, guns, window] = process.argv.slice(2).map(Number) as [number, number, number];
const yes = (): boolean => true;
const no = (): boolean => false;
let acknowledged = 0;
let stopping = false;

const publisher = async (gun: number): Promise<number> => {
  const id = `gun-0${gun}`;
  const client = mqtt.connect(`mqtt://127.0.0.1:${port}`, {
    clientId: `node-${id}`,
    clean: false,
    protocolVersion: 4,
    reconnectPeriod: 50,
    connectTimeout: 5000,
  });
  client.on('error', () => undefined);
  let sequence = 0;
  const lane = async (): Promise<void> => {
    while (!stopping) {
      const n = sequence++;
      const pack = [
        { bn: `${id}/`, bt: (START_MS + n * STEP_MS) / 1000, n: 'conveying/flow', u: 'm3/h', v: flow(gun, n) },
        { n: 'trigger', vb: n % 2 === 0 },
      ];
      // The client gives a publish up when the connection breaks at the wrong moment: a node sends it again.
      while (!(await client.publishAsync(`airlines/hall-2/${id}`, JSON.stringify(pack), { qos: 1 }).then(yes, no)));
      acknowledged++;
      if (acknowledged % 100 === 0) process.send!({ acknowledged });
      await pause(REST_MS);
    }
  };
  await Promise.all(Array.from({ length: window }, lane));
  await client.endAsync();
  return sequence;
};

process.on('message', () => {
  stopping = true;
});
const sequences = await Promise.all(Array.from({ length: guns }, (_, index) => publisher(index + 1)));
const expected = sequences.map((count, index) => ({
  station: `gun-0${index + 1}`,
  rows: Array.from({ length: count }, (_, n): [number, number] => [START_MS + n * STEP_MS, flow(index + 1, n)]),
}));
process.send!({ expected }, () => process.exit(0));
