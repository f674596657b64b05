import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import mqtt, { type MqttClient } from 'mqtt';
import { theilSen } from '../../analyzer/stats/theil-sen.ts';
import { FAULTS } from './soak-faults.ts';
import { gunName, PROGRAM } from './started.ts';
import { WallWatch } from './wall-watch.ts';

// `npm run soak`: 200 stations report once a second for half an hour while faults are injected; `--minutes N` for another
// time. Ends with 3 when memory grew or an update was missed.

const STATIONS = 200;
const REPORT_MS = 1000;
const FAULT_EVERY_MS = 10_000;
/** Readings of the hall from before, as one station tells them; its packs, and the distance of its readings. */
const PAST_MS = 40 * 60_000;
const PAST_PACK_MS = 120_000;
const PAST_STEP_MS = 4_000;
const SAMPLE_MS = 5_000;
/** How late a wall may show what was acknowledged, ms. Source: the wall has to say within 10 s that data is lost. */
const PATIENCE_MS = 10_000;
/**
 * Part of the time that is warm-up, and growth in half an hour that still counts as flat, of the median. Source: own choice; measured over 55 minutes, beside
 * other work: what V8 and the allocator keep for the largest of the faults settles within some eighteen, and from there memory grew by 5 MB of 347 in half an hour.
 */
const WARM_UP = 1 / 2;
const FLAT = 0.05;
/** Parts of the time whose medians are printed, so that a growth that settles can be told from one that does not. */
const PARTS = 6;

const { values } = parseArgs({ options: { minutes: { type: 'string', default: '30' } } });
const minutes = Number(values.minutes);
if (!(minutes > 0 && minutes <= 30))
  throw new Error(`--minutes ${values.minutes}: expected more than 0 and at most 30`);

/** What the installed unit gives the service in its environment: that is how it runs for years. */
function unitEnvironment(): NodeJS.ProcessEnv {
  const unit = readFileSync(fileURLToPath(new URL('../../deploy/driftline.service', import.meta.url)), 'utf8');
  return Object.fromEntries([...unit.matchAll(/^Environment=(\w+)=(.*)$/gm)].map(([, name, value]) => [name, value]));
}

async function startService(dir: string): Promise<{ child: ChildProcess; mqttUrl: string; httpUrl: string }> {
  const plant = join(dir, 'plant.yaml');
  const guns = Array.from({ length: STATIONS }, (_, gun) => `  - { id: ${gunName(gun)} }\n`);
  writeFileSync(plant, `site: { id: hall-1, timezone: Europe/Vienna }\nguns:\n${guns.join('')}`);
  const args = ['serve', '--plant', plant, '--data', join(dir, 'data'), '--mqtt-port', '0', '--http-port', '0'];
  const env = { ...process.env, ...unitEnvironment() };
  const child = spawn(process.execPath, [PROGRAM, ...args], { env, stdio: ['ignore', 'ignore', 'pipe'] });
  let text = '';
  for await (const more of child.stderr!) {
    text += String(more);
    const ready = /^ready mqtt=(\S+) http=(\S+)$/m.exec(text);
    if (ready) return { child, mqttUrl: ready[1]!, httpUrl: ready[2]! };
  }
  throw new Error(`the service ended: ${text}`);
}

const residentMb = (pid: number): number =>
  Number(/VmRSS:\s+(\d+)/.exec(readFileSync(`/proc/${pid}/status`, 'utf8'))?.[1]) / 1024;

let [sent, acknowledged, given] = [0, 0, 0];

function readings(gun: number, time: number): object[] {
  const flow = 3 + ((gun + time / 1000) % 10) / 100;
  return [
    { bn: `${gunName(gun)}/`, bt: time / 1000, n: 'conveying/pressure', u: 'bar', v: 2.4 },
    { n: 'conveying/flow', u: 'm3/h', v: Math.round(1000 * flow) / 1000 },
    { n: 'powder/output', u: 'g/min', v: 140 },
    { n: 'trigger', vb: true },
  ];
}

/** What the hall has told before: its guns are known then, as in one that has run for long, and not only once the warm-up is over. */
async function tellPast(client: MqttClient, gun: number, until: number): Promise<void> {
  for (let from = until - PAST_MS; from < until; from += PAST_PACK_MS) {
    const times = Array.from({ length: PAST_PACK_MS / PAST_STEP_MS }, (_, step) => from + step * PAST_STEP_MS);
    const payload = JSON.stringify(times.flatMap((time) => readings(gun, time)));
    await client.publishAsync(`airlines/hall-1/${gunName(gun)}`, payload, { qos: 1 });
  }
}

/** One station: a pack a second, the next only when the last is acknowledged, sent again until it is. */
async function report(client: MqttClient, gun: number, until: number, watch: WallWatch): Promise<void> {
  await pause((gun / STATIONS) * REPORT_MS);
  while (Date.now() < until) {
    const time = Date.now();
    const payload = JSON.stringify(readings(gun, time));
    sent++;
    // The client library gives a publish up when the connection breaks at the wrong moment.
    while (Date.now() < until) {
      const kept = await client.publishAsync(`airlines/hall-1/${gunName(gun)}`, payload, { qos: 1 }).then(
        () => true,
        () => false,
      );
      if (kept) {
        acknowledged++;
        watch.acknowledged(gunName(gun), time);
        break;
      }
      given++;
      await pause(100);
    }
    await pause(Math.max(0, time + REPORT_MS - Date.now()));
  }
}

const dir = mkdtempSync(join(tmpdir(), 'driftline-soak-'));
const { child, mqttUrl, httpUrl } = await startService(dir);
const watch = new WallWatch(PATIENCE_MS);
await watch.start(httpUrl);
const options = { protocolVersion: 4, reconnectPeriod: 200, clean: false } as const;
const stations = Array.from({ length: STATIONS }, (_, gun) => {
  const client = mqtt.connect(mqttUrl, { ...options, clientId: `node-${gunName(gun)}` });
  client.on('error', () => undefined);
  return client;
});
const told = Date.now();
await Promise.all(stations.map((client, gun) => tellPast(client, gun, told)));
const began = Date.now();
const until = began + minutes * 60_000;
const reports = Promise.all(stations.map((client, gun) => report(client, gun, until, watch)));

const [times, memory]: [number[], number[]] = [[], []];
const sampling = setInterval(() => {
  watch.check();
  times.push((Date.now() - began) / 60_000);
  memory.push(residentMb(child.pid!));
}, SAMPLE_MS);
const hall = { mqttUrl, port: Number(new URL(mqttUrl).port), httpUrl, stations };
let faults = 0;
for (const names = Object.keys(FAULTS); Date.now() < until; faults++) {
  await FAULTS[names[faults % names.length]!]!(hall, faults);
  await pause(Math.min(FAULT_EVERY_MS, Math.max(0, until - Date.now())));
}
await reports;
await pause(3000);
watch.check();
clearInterval(sampling);
const alive = child.exitCode === null && child.signalCode === null;
watch.stop();
for (const client of stations) client.end(true);
child.kill('SIGTERM');
const [status] = alive ? await once(child, 'exit') : [child.exitCode];
rmSync(dir, { recursive: true });

const median = (values: readonly number[]): number => [...values].sort((a, b) => a - b)[values.length >> 1]!;
const between = (from: number, to: number): number[] =>
  memory.filter((_, at) => times[at]! >= from * minutes && times[at]! < to * minutes);
const warm = times.findIndex((time) => time >= WARM_UP * minutes);
const line = theilSen(times.slice(warm), memory.slice(warm));
const middle = median(memory.slice(warm));
const parts = Array.from({ length: PARTS }, (_, part) => between(part / PARTS, (part + 1) / PARTS)).map((part) =>
  part.length === 0 ? '–' : median(part).toFixed(0),
);
const grown = line.slope * 30;
const flat = line.low <= 0 || grown < FLAT * middle;
const good = flat && watch.missed === 0 && status === 0;
process.stdout.write(
  `${minutes} minutes, ${STATIONS} stations, ${faults} faults injected\n` +
    `reports ${sent}, acknowledged ${acknowledged}, sent again ${given}\n` +
    `wall events ${watch.events}, updates missed ${watch.missed}, slowest ${(watch.slowestMs / 1000).toFixed(1)} s\n` +
    `memory by sixths of the time: ${parts.join(' ')} MB\n` +
    `memory after warm-up: median ${middle.toFixed(0)} MB, ${grown.toFixed(1)} MB in half an hour ` +
    `(95 %: ${(30 * line.low).toFixed(1)} to ${(30 * line.high).toFixed(1)}): ${flat ? 'flat' : 'grows'}\n` +
    `the service ended with ${status}\n${good ? 'passed' : 'FAILED'}\n`,
);
process.exit(good ? 0 : 3);
