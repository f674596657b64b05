// silent-gun-client.mjs URL: two guns report every 5 s for ten minutes of reading time, then gun-02 alone for forty.
import mqtt from 'mqtt';

const client = await mqtt.connectAsync(process.argv[2], { protocolVersion: 4 });
const END_S = Math.floor(Date.now() / 1000) - 60;
const START_S = END_S - 50 * 60;
const pack = (gun, from, to) => {
  const records = [{ bn: `urn:dev:mac:0024befffe804ff1:${gun}/`, bt: from }];
  for (let t = 0; t < to - from; t += 5)
    records.push(
      { n: 'conveying/pressure', u: 'bar', t, v: 1.5 },
      { n: 'conveying/flow', u: 'm3/h', t, v: 2.4 },
      { n: 'powder/output', u: 'g/min', t, v: 160 },
      { n: 'trigger', t, vb: true },
    );
  return JSON.stringify(records);
};
const send = (gun, from, to) => client.publishAsync(`airlines/hall-2/${gun}`, pack(gun, from, to), { qos: 1 });

await client.publishAsync('airlines/hall-2/gun-01/online', 'true', { qos: 1, retain: true });
await send('gun-01', START_S, START_S + 600);
for (let from = START_S; from < END_S; from += 600) await send('gun-02', from, Math.min(END_S, from + 600));
await client.endAsync();
