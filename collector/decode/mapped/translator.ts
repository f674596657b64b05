import type { Plant } from '../../contract/index.ts';
import { PACK_LIMITS, type PackLimits } from '../decoded.ts';
import { SenmlDecoder } from '../senml.ts';
import type { Sparkplug } from '../sparkplug/sparkplug-config.ts';
import { type AskForBirth, SparkplugHost } from '../sparkplug/sparkplug-host.ts';
import { MappedJson } from './mapped-json.ts';
import type { Mapping } from './mapping-config.ts';
import { type Translated, Translation, type Translator } from './translated.ts';

/** All that the configuration maps, as one translator. */
export class ConfiguredTranslator implements Translator {
  readonly #json: MappedJson;
  readonly #sparkplug: SparkplugHost;
  readonly #senml: SenmlDecoder;
  readonly #stations: ReadonlySet<string>;
  readonly #mappings: readonly Mapping[];

  constructor(
    plant: Plant,
    { mappings, sparkplug }: { readonly mappings: readonly Mapping[]; readonly sparkplug: Sparkplug },
    ask: AskForBirth,
    limits: PackLimits = PACK_LIMITS,
    tellFull: () => void = () => undefined,
  ) {
    this.#json = new MappedJson(mappings, limits);
    this.#sparkplug = new SparkplugHost(sparkplug, ask, limits, tellFull);
    this.#senml = new SenmlDecoder(plant, limits);
    this.#stations = new Set([...plant.guns, ...plant.air].map(({ id }) => id));
    this.#mappings = mappings;
  }

  /** Topic filters to subscribe to at another broker. */
  filters(): string[] {
    return [...new Set([...this.#mappings.map(({ topic }) => topic), ...this.#sparkplug.filters()])];
  }

  claims(topic: string): boolean {
    return this.#sparkplug.claims(topic) || this.#json.claims(topic);
  }

  restore(births: readonly { readonly topic: string; readonly payload: Uint8Array }[]): void {
    this.#sparkplug.restore(births.filter(({ topic }) => this.#sparkplug.claims(topic)));
  }

  translate(topic: string, payload: Buffer, receivedAt: number): Translated {
    const translation = new Translation();
    if (this.#sparkplug.claims(topic)) this.#sparkplug.read(topic, payload, receivedAt, translation);
    else this.#json.read(topic, payload, receivedAt, translation);
    const result = translation.finish((records, station) => this.#senml.decodeRecords(records, station, receivedAt));
    return { ...result, online: result.online.filter(({ station }) => this.#stations.has(station)) };
  }
}
