import { type GunUpkeep, jobId, type Loop } from '../../../analyzer/index.ts';
import type { DueShown, PartShown } from './upkeep-model.ts';

/** The parts of a gun as the API shows them. */
export function partsShown(gun: GunUpkeep): PartShown[] {
  return gun.parts.map((part): PartShown => {
    const due = gun.due.find((one) => one.part === part.part)?.due ?? null;
    return { ...part, rule: { ...part.rule }, expected: part.expected === null ? null : { ...part.expected }, due };
  });
}

/** What is due at a gun, with the job that it has become. */
export function dueShown(loop: Loop, gun: GunUpkeep, now: number): DueShown[] {
  return gun.due.map((due): DueShown => {
    const id = jobId(due.gun, due.part, due.since);
    const job =
      loop.jobs.find((one) => one.id === id) ??
      loop.jobs.find(
        ({ gun: of, part, state }) => of === due.gun && part === due.part && state !== 'proven' && state !== 'gone',
      );
    return {
      ...due,
      gunName: gun.name,
      why: [...due.why],
      overdue: due.due !== null && due.due < now,
      job: job?.id ?? null,
    };
  });
}
