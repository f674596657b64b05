import { once } from 'node:events';
import { get } from 'node:http';

/** A report that has been acknowledged and that the wall has not shown yet. */
interface Due {
  readonly time: number;
  readonly since: number;
}

interface ShownWall {
  readonly guns: readonly { readonly id: string; readonly newest: number | null }[];
}

/** Follows a wall's event stream and holds it against what was acknowledged. */
export class WallWatch {
  events = 0;
  /** Reports that were not shown in time, and the longest that one took, ms. */
  missed = 0;
  slowestMs = 0;
  readonly #patienceMs: number;
  readonly #due = new Map<string, Due[]>();
  #stop: () => void = () => undefined;

  constructor(patienceMs: number) {
    this.#patienceMs = patienceMs;
  }

  async start(url: string): Promise<void> {
    const request = get(`${url}/api/events`);
    const [response] = (await once(request, 'response')) as [NodeJS.ReadableStream & { destroy(): void }];
    this.#stop = () => request.destroy();
    let text = '';
    response.on('error', () => undefined);
    (response as NodeJS.ReadableStream).setEncoding('utf8').on('data', (more: string) => {
      text += more;
      for (let end = text.indexOf('\n\n'); end >= 0; end = text.indexOf('\n\n')) {
        this.#take(text.slice(0, end));
        text = text.slice(end + 2);
      }
    });
    request.on('error', () => undefined);
  }

  stop(): void {
    this.#stop();
  }

  /** A gun's report of this reading time, epoch ms, is acknowledged now. */
  acknowledged(gun: string, time: number): void {
    const due = this.#due.get(gun) ?? [];
    due.push({ time, since: performance.now() });
    this.#due.set(gun, due);
  }

  /** Counts what should have been shown by now. */
  check(): void {
    const now = performance.now();
    for (const [gun, due] of this.#due) {
      const late = due.filter(({ since }) => now - since > this.#patienceMs);
      this.missed += late.length;
      if (late.length > 0) this.#due.set(gun, due.slice(late.length));
    }
  }

  #take(event: string): void {
    const lines = event.split('\n');
    if (!lines.includes('event: wall')) return;
    const data = lines.find((line) => line.startsWith('data: '));
    if (data === undefined) throw new Error(`a wall event without data: ${event.slice(0, 100)}`);
    this.events++;
    const now = performance.now();
    for (const { id, newest } of (JSON.parse(data.slice(6)) as ShownWall).guns) {
      const due = this.#due.get(id);
      if (due === undefined || newest === null) continue;
      while (due.length > 0 && due[0]!.time <= newest)
        this.slowestMs = Math.max(this.slowestMs, now - due.shift()!.since);
    }
  }
}
