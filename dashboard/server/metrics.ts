import { Counter, collectDefaultMetrics, Gauge, Registry } from 'prom-client';
import type { EventHub } from './events/event-hub.ts';
import type { DashboardSources } from './sources.ts';

const PREFIX = 'driftline_';

/** Gauges of the library with the ending of counters, which Prometheus' own check refuses; each is there by type as well. */
const MISNAMED = ['nodejs_active_handles_total', 'nodejs_active_requests_total', 'nodejs_active_resources_total'];

/** The Prometheus page: the process, the event streams, and whatever the sources count. */
export class Metrics {
  readonly #sources: DashboardSources;
  readonly #registry = new Registry();
  readonly #own = new Map<string, Counter | Gauge>();

  constructor(sources: DashboardSources, hub: EventHub) {
    this.#sources = sources;
    collectDefaultMetrics({ register: this.#registry, prefix: PREFIX });
    for (const name of MISNAMED) this.#registry.removeSingleMetric(PREFIX + name);
    new Gauge({
      name: `${PREFIX}event_streams`,
      help: 'Pages that listen for events',
      registers: [this.#registry],
      collect() {
        this.set(hub.clients);
      },
    });
    new Gauge({
      name: `${PREFIX}event_streams_dropped`,
      help: 'Pages dropped since the start because they did not read their events',
      registers: [this.#registry],
      collect() {
        this.set(hub.dropped);
      },
    });
  }

  get contentType(): string {
    return this.#registry.contentType;
  }

  /** @returns the page in the Prometheus text format */
  async text(): Promise<string> {
    for (const metric of this.#own.values()) metric.reset();
    for (const { name, help, kind, labels, value } of this.#sources.counters()) {
      let metric = this.#own.get(name);
      if (!metric) {
        const settings = { name: PREFIX + name, help, labelNames: Object.keys(labels), registers: [this.#registry] };
        metric = kind === 'counter' ? new Counter(settings) : new Gauge(settings);
        this.#own.set(name, metric);
      }
      metric.inc(labels, value);
    }
    return this.#registry.metrics();
  }
}
