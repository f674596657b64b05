import type { OpenFinding } from '../../../analyzer/diagnose/finding-book.ts';
import type { GunView } from '../../../analyzer/views.ts';
import { Plant } from '../../../collector/contract/index.ts';

export const RAISED = Date.UTC(2026, 2, 9, 13, 25);

export const PLANT = Plant.parse({
  site: { id: 'hall-2', timezone: 'Europe/Vienna' },
  guns: [{ id: 'gun-01', name: 'Booth 1 left' }, { id: 'gun-02', name: 'Booth 1 right' }, { id: 'gun-03' }],
});

/** An open finding whose leading candidate is its cause, unless told otherwise. */
export function openFinding(cause: string, change: Partial<OpenFinding> = {}): OpenFinding {
  return {
    gun: 'gun-01',
    guns: null,
    cause,
    subject: 'wear',
    category: 'maintenance-required',
    onset: RAISED - 3_600_000,
    raised: RAISED,
    asOf: RAISED,
    cleared: null,
    candidates: [{ cause, probability: 0.9 }],
    excessAir: null,
    remaining: null,
    evidence: ['first reason', 'second reason'],
    told: { category: 'maintenance-required', candidates: [], p50: -1, sprayHours: 0 },
    raisedHours: 0,
    ...change,
  };
}

/** What screens know of a gun, spraying 3 h a shift unless told otherwise. */
export function gunView(id: string, change: Partial<GunView> = {}): GunView {
  return {
    id,
    name: id,
    state: 'good',
    learning: null,
    powder: 'p-1',
    usualOutput: 180,
    neededAir: 2,
    actualAir: 2.2,
    excessAir: { p10: 0.08, p50: 0.1, p90: 0.12 },
    changeLimit: 0.2,
    wearLeft: 0.5,
    remaining: null,
    insertSince: null,
    insertLogged: false,
    airNeeds: [],
    sprayHoursSinceInsert: null,
    kilogramsSinceInsert: null,
    sprayHoursPerShift: 3,
    asOf: RAISED,
    ...change,
  };
}
