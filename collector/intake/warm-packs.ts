import mqttPacket from 'mqtt-packet';

const TIME = '0000000000.000';
const DIGIT = '@';
const STEP_MS = 7;

/** A PUBLISH of one station with places for its numbers. */
interface Sample {
  readonly bytes: Buffer;
  readonly packetIdAt: number;
  readonly timeAt: number;
  readonly digitsAt: readonly number[];
}

/** Invented packs of the warm-up, each of one second of one station: as a sensor's, they differ in their numbers alone. */
export class WarmPacks {
  readonly #samples: readonly Sample[];

  /** @param stations ids, which take turns */
  constructor(root: string, site: string, stations: readonly string[]) {
    this.#samples = [false, true].flatMap((sprays) => stations.map((station) => sampleOf(root, site, station, sprays)));
  }

  /** So many packets behind each other. @param at reading time of the last, epoch ms; each is some milliseconds later than the one before */
  packets(first: number, count: number, at: number): Buffer {
    const parts = Array.from({ length: count }, (_, i) => this.#packet(first + i, at - STEP_MS * (count - 1 - i)));
    return Buffer.concat(parts);
  }

  #packet(number: number, at: number): Buffer {
    const { bytes, packetIdAt, timeAt, digitsAt } = this.#samples[number % this.#samples.length]!;
    const packet = Buffer.from(bytes);
    packet.writeUInt16BE((number % 0xffff) + 1, packetIdAt);
    packet.write((at / 1000).toFixed(3), timeAt, 'latin1');
    for (const [place, digitAt] of digitsAt.entries()) packet[digitAt] = 48 + ((7 * number + 3 * place) % 10);
    return packet;
  }
}

function sampleOf(root: string, site: string, station: string, sprays: boolean): Sample {
  const records = [
    `{"bn":"${station}/","bt":${TIME},"n":"conveying/pressure","u":"bar","v":2.${DIGIT}${DIGIT}}`,
    `{"n":"conveying/flow","u":"m3/h","v":${DIGIT}.${DIGIT}}`,
    `{"n":"supplementary/flow","u":"m3/h","v":1.${DIGIT}}`,
    `{"n":"supply/pressure","u":"bar","v":6.${DIGIT}}`,
    `{"n":"powder/output","u":"g/min","v":14${DIGIT}}`,
    // As short as "false", so that all packs of a node are of one length.
    `{"n":"trigger","vb":${sprays ? 'true ' : 'false'}}`,
  ];
  const topic = `${root}/${site}/${station}`;
  const payload = `[${records.join(',')}]`;
  const bytes = mqttPacket.generate({
    cmd: 'publish',
    topic,
    payload,
    qos: 1,
    messageId: 1,
    dup: false,
    retain: false,
  });
  const payloadAt = bytes.length - payload.length;
  const digitsAt = Array.from(payload.matchAll(new RegExp(DIGIT, 'g')), ({ index }) => payloadAt + index);
  return { bytes, packetIdAt: payloadAt - 2, timeAt: payloadAt + payload.indexOf(TIME), digitsAt };
}
