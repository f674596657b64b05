import { readFileSync } from 'node:fs';
import { type Command, Option } from 'commander';
import { parse } from 'yaml';
import { RuleOverride, ShiftCalendar } from '../analyzer/index.ts';
import { AppError, formatTime, PART_IDS, type PartId, parseTime } from '../collector/contract/index.ts';
import { valueFaults } from '../collector/index.ts';
import { csvText, planFeedOf, withUpkeep } from '../dashboard/index.ts';
import { countArgument, nonNegativeArgument } from './arguments.ts';
import { audited } from './audited.ts';
import { command } from './command.ts';
import { out } from './standard-streams.ts';
import { tellMissing } from './tell-missing.ts';
import { whoRuns } from './who-runs.ts';

const DAY_MS = 86_400_000;
const time = (ms: number | null): string => (ms === null ? '' : formatTime(ms));
const dataOption = (one: Command): Command => one.requiredOption('--data <dir>', 'data folder of the service');
const rounded = (value: number | null | undefined): number | null => (value == null ? null : Number(value.toFixed(2)));

/** Parts on guns, and the preventive plan; also while the service runs. */
export function addPlan(program: Command): void {
  dataOption(
    command(program, 'parts', 'Print the parts on guns with their counters as CSV; also while the service runs.'),
  )
    .option('--gun <id>', 'of one gun')
    .action(async ({ data, gun }: { data: string; gun?: string }) => {
      await out.write(
        withUpkeep(data, Date.now(), (upkeep, _plant, missing) => {
          const lines = partLines(upkeep.loop().guns, gun);
          tellMissing(missing());
          return lines;
        }),
      );
    });
  const plan = command(program, 'plan', 'The preventive plan; also while the service runs.');
  dataOption(command(plan, 'due', 'Print what is due as CSV, by due time.'))
    .option('--days <n>', 'days to look ahead', countArgument, 60)
    .action(async ({ data, days }: { data: string; days: number }) => {
      const now = Date.now();
      await out.write(
        withUpkeep(data, now, (upkeep, _plant, missing) => {
          const lines = dueLines(upkeep.loop().guns, now + days * DAY_MS);
          tellMissing(missing());
          return lines;
        }),
      );
    });
  dataOption(command(plan, 'calendar', 'Print jobs and due work as an iCalendar file.'))
    .option('--days <n>', 'days to look ahead', countArgument, 92)
    .action(async ({ data, days }: { data: string; days: number }) => {
      const now = Date.now();
      await out.write(
        withUpkeep(data, now, (upkeep, plant, missing) => {
          const lines = planFeedOf(upkeep, plant, now, now + days * DAY_MS);
          tellMissing(missing());
          return lines;
        }),
      );
    });
  audited(dataOption(command(plan, 'interval', 'Set the interval of a part, for all guns or for one.')))
    .addOption(new Option('--part <id>', 'part').choices(PART_IDS).makeOptionMandatory())
    .option('--gun <id>', 'for one gun; default: all')
    .option('--spray-hours <n>', 'spray hours', nonNegativeArgument)
    .option('--kilograms <n>', 'kilograms of powder', nonNegativeArgument)
    .option('--days <n>', 'days', nonNegativeArgument)
    .option('--usual', 'back to the usual')
    .action(async (flags: IntervalFlags) => {
      await out.write(`${setInterval(flags)}\n`);
    });
  const shifts = command(plan, 'shifts', 'Print the calendar of shifts, or set it from a YAML file.');
  audited(dataOption(shifts), ({ set }) => set !== undefined)
    .option('--set <file>', 'shifts, holidays, stops and colourChanges, as `GET /api/calendar` shows them')
    .action(async ({ data, set }: { data: string; set?: string }) => {
      await out.write(
        withUpkeep(data, Date.now(), (upkeep) => {
          if (set !== undefined)
            upkeep.stateCalendar(calendarIn(set), { who: whoRuns(), seen: upkeep.calendar().version });
          return `${JSON.stringify(upkeep.calendar().value, null, 2)}\n`;
        }),
      );
    });
  audited(
    dataOption(command(plan, 'service', 'Take a gun out of service, or back in: its alerts are suppressed meanwhile.')),
  )
    .requiredOption('--gun <id>', 'gun')
    .option('--out <reason>', 'out of service, and why')
    .option('--until <time>', 'end, ISO 8601 with offset')
    .option('--back', 'back into service')
    .action(async (flags: { data: string; gun: string; out?: string; until?: string; back?: boolean }) => {
      await out.write(`${setService(flags)}\n`);
    });
}

interface IntervalFlags {
  data: string;
  part: PartId;
  gun?: string;
  sprayHours?: number;
  kilograms?: number;
  days?: number;
  usual?: boolean;
}

function setInterval({ data, part, gun, usual, sprayHours, kilograms, days }: IntervalFlags): string {
  const given = Object.fromEntries(
    Object.entries({ sprayHours, kilograms, days }).filter(([, value]) => value !== undefined),
  );
  if (usual !== true && Object.keys(given).length === 0)
    throw new AppError('USAGE', 'expected --spray-hours, --kilograms, --days or --usual');
  const rule = usual === true ? null : RuleOverride.safeParse(given);
  if (rule !== null && !rule.success)
    throw new AppError('USAGE', valueFaults(rule.error, given, RuleOverride).join('; '));
  return withUpkeep(data, Date.now(), (upkeep, plant) => {
    const one = plant.guns.find(({ id }) => id === gun);
    if (gun !== undefined && one === undefined) throw new AppError('USAGE', `--gun: no gun "${gun}" in the plant file`);
    if (one?.parts !== undefined && !one.parts.includes(part))
      throw new AppError(
        'USAGE',
        `--part: "${gun}" has no ${part} by the plant file; expected one of ${one.parts.join(', ')}`,
      );
    const seen = upkeep.rule(gun ?? null, part).version;
    const set = upkeep.stateRule(gun ?? null, part, rule?.data ?? null, { who: whoRuns(), seen });
    return `${part} of ${gun ?? 'all guns'}: ${set.value === null ? 'as usual' : JSON.stringify(set.value)}, version ${set.version}`;
  });
}

function setService(flags: { data: string; gun: string; out?: string; until?: string; back?: boolean }): string {
  if ((flags.out === undefined) === (flags.back !== true))
    throw new AppError('USAGE', 'expected either --out or --back');
  const now = Date.now();
  const until = flags.until === undefined ? null : parseTime(flags.until);
  if (until !== null && !(until > now))
    throw new AppError('USAGE', `--until: found "${flags.until}", expected ISO 8601 with offset, later than now`);
  return withUpkeep(flags.data, now, (upkeep, plant) => {
    if (!plant.guns.some(({ id }) => id === flags.gun))
      throw new AppError('USAGE', `--gun: no gun "${flags.gun}" in the plant file`);
    const value = flags.out === undefined ? null : { from: now, until, reason: flags.out };
    upkeep.stateService(flags.gun, value, { who: whoRuns(), seen: upkeep.service(flags.gun).version });
    return `${flags.gun}: ${value === null ? 'in service' : `out of service, ${value.reason}`}`;
  });
}

/** @throws {AppError} USAGE naming what does not fit */
function calendarIn(file: string): ShiftCalendar {
  let text: unknown;
  try {
    text = parse(readFileSync(file, 'utf8'));
  } catch (error) {
    throw new AppError('USAGE', `${file}: cannot be read as YAML: ${(error as Error).message.split('\n')[0]}`, {
      cause: error,
    });
  }
  const read = ShiftCalendar.safeParse(text);
  if (!read.success) throw new AppError('USAGE', `${file}: ${valueFaults(read.error, text, ShiftCalendar).join('; ')}`);
  return read.data;
}

type Guns = ReturnType<Parameters<Parameters<typeof withUpkeep>[2]>[0]['loop']>['guns'];

function partLines(guns: Guns, only: string | undefined): string {
  if (only !== undefined && !guns.some(({ gun }) => gun === only))
    throw new AppError('USAGE', `--gun: no gun "${only}" in the plant file`);
  const head = [
    ...['gun', 'part', 'fitted_since', 'counted_from', 'spray_hours', 'kilograms', 'days', 'last_action', 'last_found'],
    ...['expected_from', 'expected_p10', 'expected_p50', 'expected_p90', 'due'],
  ];
  return csvText(
    head,
    guns
      .filter(({ gun }) => only === undefined || gun === only)
      .flatMap(({ gun, parts, due }) =>
        parts.map((part) => [
          ...[gun, part.part, time(part.fittedSince), time(part.countedFrom)],
          ...[rounded(part.sinceFitted.sprayHours), rounded(part.sinceFitted.kilograms), part.days],
          ...[part.lastCare?.action ?? null, part.lastCare?.found ?? null, part.expected?.from ?? null],
          ...[rounded(part.expected?.sprayHours?.p10), rounded(part.expected?.sprayHours?.p50)],
          ...[rounded(part.expected?.sprayHours?.p90), time(due.find((one) => one.part === part.part)?.due ?? null)],
        ]),
      ),
  );
}

function dueLines(guns: Guns, until: number): string {
  const due = guns
    .flatMap((gun) => gun.due)
    .filter((one) => one.due !== null && one.due <= until)
    .sort((left, right) => (left.due ?? 0) - (right.due ?? 0));
  return csvText(
    ['due', 'gun', 'part', 'work', 'by', 'safety_relevant', 'why'],
    due.map((one) => [
      ...[time(one.due), one.gun, one.part, one.work, one.by, String(one.safetyRelevant), one.why.join('; ')],
    ]),
  );
}
