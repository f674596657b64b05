import type { LogEntry } from '../../collector/contract/log-entry.ts';
import type { GunState } from '../gun/gun-state.ts';
import type { GunTrap } from '../gun/gun-trap.ts';
import type { Random } from '../random.ts';
import type { Truth } from '../truth.ts';

/** How a shop changes parts. */
export interface MaintenanceHabits {
  /** Inserts go by the calendar (mean days), by what people see on parts and gauge (share of the gun's own limit), or at planned times. */
  readonly insert:
    | { readonly by: 'calendar'; readonly days: number }
    | { readonly by: 'limit'; readonly share: number; readonly spread: number }
    | { readonly by: 'plan'; readonly times: readonly number[] };
  /** Chance that a change is not written down. */
  readonly unlogged: number;
  /** Chance that seals are refitted at a colour change, and that this is logged. */
  readonly refit: number;
  /** Inspections without finding, per shift. */
  readonly inspections: number;
}

type Change = Truth['changes'][number];

/** The fitters of one gun: what they do at shift starts and colour changes, and what they write down. */
export class Maintenance {
  readonly #random: Random;
  readonly #habits: MaintenanceHabits;
  readonly #exchanged = new Map<GunTrap, number>();
  #insertAt: number;
  readonly log: LogEntry[] = [];
  readonly changes: Change[] = [];

  constructor(random: Random, habits: MaintenanceHabits, startMs: number) {
    this.#random = random;
    this.#habits = habits;
    this.#insertAt = this.#plan(startMs);
  }

  #plan(fromMs: number): number {
    const { insert } = this.#habits;
    if (insert.by === 'calendar') return fromMs + insert.days * 86_400_000 * this.#random.uniform(0.75, 1.25);
    if (insert.by === 'plan') return insert.times.find((time) => time > fromMs) ?? Number.POSITIVE_INFINITY;
    return this.#random.lognormal(insert.share, insert.spread);
  }

  /** Half way into a calendar interval for an insert that was fitted before the data begin. */
  startWorn(startMs: number): void {
    if (this.#habits.insert.by === 'calendar')
      this.#insertAt = startMs + this.#plan(0) * this.#random.uniform(0.2, 0.8);
  }

  /** Writes an entry, unless people forget. */
  note(
    timeMs: number,
    gun: string,
    part: string,
    action: LogEntry['action'],
    found: LogEntry['found'],
    text: string,
    cured: boolean,
    sure = false,
  ): boolean {
    const logged = sure || !this.#random.chance(this.#habits.unlogged);
    if (logged) this.log.push({ time: timeMs, gun, part, action, found, note: text });
    if (action === 'replaced' || cured)
      this.changes.push({ time: new Date(timeMs).toISOString(), gun, part, action, logged, cured });
    return logged;
  }

  /** A stop of the gun: what is due is done. */
  serve(state: GunState, timeMs: number, occasion: 'shift' | 'colour-change'): void {
    const gun = state.spec.id;
    const random = this.#random;
    let time = timeMs;
    for (const fault of state.faults) {
      fault.advance(time, 0);
      const { plan } = fault;
      const part = plan.cause === 'sensor' ? `sensor:${plan.sensor!.channel}` : plan.cause;
      if (!fault.due(time)) continue;
      if (plan.shape === 'span') {
        fault.end(plan.onset + plan.mendAfter * 3_600_000, 'itself', false);
        continue;
      }
      if (plan.wrongFirst !== null && !fault.wrongDone) {
        fault.wrongDone = true;
        if (plan.wrongFirst === 'pump-insert') this.#changeInsert(state, time, 'good');
        else this.note(time, gun, plan.wrongFirst, 'replaced', 'good', '', false);
        continue;
      }
      time += 240_000;
      const found = plan.cause === 'sensor' ? null : plan.shape === 'step' ? 'failed' : 'worn';
      const logged = plan.logged && this.note(time, gun, part, 'replaced', found, '', true, true);
      if (!plan.logged)
        this.changes.push({
          time: new Date(time).toISOString(),
          gun,
          part,
          action: 'replaced',
          logged: false,
          cured: true,
        });
      if (plan.sensor) state.exchanges.push(plan.sensor.channel);
      fault.end(time, part, logged);
    }
    this.#exchange(state, time);
    const due = this.#habits.insert.by === 'limit' ? state.insert.used >= this.#insertAt : time >= this.#insertAt;
    if (due && (occasion === 'shift' || random.chance(0.5))) {
      const used = state.insert.used;
      this.#changeInsert(state, time + 300_000, used < 0.5 ? 'good' : used > 1.15 ? 'failed' : 'worn');
    } else if (occasion === 'colour-change' && random.chance(this.#habits.refit)) {
      this.note(time, gun, 'pump-seals', 'refitted', 'good', 'cleaned', false);
      state.refit(0.008);
    } else if (occasion === 'shift' && random.chance(this.#habits.inspections)) this.#inspect(state, time);
  }

  /** Does what somebody else has done and written down. */
  obey(state: GunState, entry: LogEntry): void {
    if (entry.action === 'inspected') return;
    for (const fault of state.faults) {
      const part = fault.plan.sensor ? `sensor:${fault.plan.sensor.channel}` : fault.plan.cause;
      if (!fault.active || part !== entry.part) continue;
      if (fault.plan.sensor) state.exchanges.push(fault.plan.sensor.channel);
      fault.end(entry.time, entry.part, true);
    }
    if (entry.part === 'pump-insert' && entry.action === 'replaced') state.changeInsert(entry.time, true, entry.found);
  }

  /** A look at some part; what is found is true. */
  #inspect(state: GunState, timeMs: number): void {
    const part = this.#random.pick(['nozzle', 'gun-tube', 'electrode-holder', 'powder-hose', 'pump-insert'] as const);
    const fault = state.faults.find(({ active, plan }) => active && plan.cause === part);
    const worn =
      part === 'pump-insert' ? state.insert.used > 0.7 : fault !== undefined && fault.size > 0.7 * fault.plan.size;
    this.note(timeMs, state.spec.id, part, 'inspected', worn ? 'worn' : 'good', '', false);
  }

  /** Exchanges that are due though nothing is wrong: hoses, motive nozzles, sensors. */
  #exchange(state: GunState, timeMs: number): void {
    const gun = state.spec.id;
    for (const trap of state.traps) {
      if (trap.end !== trap.start || timeMs < trap.start || this.#exchanged.has(trap)) continue;
      this.#exchanged.set(trap, timeMs);
      if (trap.kind === 'hose-change') {
        state.hose *= 1 + trap.size;
        this.note(timeMs, gun, 'powder-hose', 'replaced', 'good', '', false, true);
      } else if (trap.kind === 'nozzle-exchange') {
        state.nozzle *= 1 + trap.size;
        this.note(timeMs, gun, 'pump-insert', 'adjusted', null, 'motive nozzle exchanged', false, true);
      } else {
        const channel = this.#random.pick(['conveying/flow', 'conveying/pressure'] as const);
        state.exchanges.push(channel);
        this.note(timeMs, gun, `sensor:${channel}`, 'replaced', null, '', false, true);
      }
    }
  }

  /** When an exchange was made; undefined when it was not. */
  exchangedAt(trap: GunTrap): number | undefined {
    return this.#exchanged.get(trap);
  }

  #changeInsert(state: GunState, timeMs: number, found: 'good' | 'worn' | 'failed'): void {
    const cured = state.insert.used >= 0.5;
    const logged = this.note(timeMs, state.spec.id, 'pump-insert', 'replaced', found, '', cured);
    state.changeInsert(timeMs, logged, found);
    this.#insertAt = this.#plan(timeMs);
  }
}
