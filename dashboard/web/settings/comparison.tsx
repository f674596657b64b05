import type { JSX } from 'preact';
import type { StudyReport, Tally } from '../../../analyzer/index.ts';
import { decimal } from '../words/figures.ts';
import { causeName } from '../words/names.ts';
import { clock, day, type TimeStyle } from '../words/site-time.ts';
import { differences, type NamedSubjects } from './settings-model.ts';
import { TallyLegend } from './tally-legend.tsx';
import { tallyCells } from './tally-words.ts';
import './tallies.css';

interface Props {
  readonly report: StudyReport;
  readonly site: TimeStyle & NamedSubjects;
}

const KINDS = {
  earlier: 'earlier',
  later: 'later',
  gone: 'not raised any more',
  new: 'new',
  same: 'the same',
} as const;

/** What the proposed settings would have told beside what the present ones do, in all, by part and by gun, and finding by finding. */
export function Comparison({ report, site }: Props): JSX.Element {
  const { present, proposed } = report;
  const nameOf = (gun: string): string => site.guns.find(({ id }) => id === gun)?.name ?? gun;
  // With the year: a span of a year begins and ends on the same day of another.
  const told = (text: string): string =>
    `${day(Date.parse(text), site, Number.POSITIVE_INFINITY)}, ${clock(Date.parse(text), site)}`;
  const parts = [...new Set([...present.byPart, ...proposed.byPart].map(({ part }) => part))].sort();
  const tried = differences(present.settings, proposed.settings, site);
  const changed = report.changes.filter(({ kind }) => kind !== 'same');
  return (
    <section aria-label="Present and proposed settings compared">
      <p>
        From {told(report.from)} to {told(report.to)}: {decimal(present.total.gunYears, 1)} gun-years.
        {present.total.gunYears < 10 && ' Too little to know the rate of false alarms well: mind the intervals.'}
      </p>
      {tried.length === 0 ? (
        <p>The proposed settings are the present ones.</p>
      ) : (
        <>
          <p>Proposed:</p>
          <ul class="dashes">
            {tried.map((line) => (
              <li key={line}>{line}</li>
            ))}
          </ul>
        </>
      )}
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reached by the keyboard */}
      <section class="numbers-scroll" tabIndex={0} aria-label="Figures of both">
        <table class="tallies">
          <thead>
            <tr>
              <th scope="col">Findings on parts</th>
              <th scope="col">Settings</th>
              <th scope="col">In time</th>
              <th scope="col">Late</th>
              <th scope="col">Missed</th>
              <th scope="col">False</th>
              <th scope="col">Not known</th>
              <th scope="col">False per gun and year</th>
              <th scope="col">Warning, spray h</th>
            </tr>
          </thead>
          <Rows name="All" before={present.total} after={proposed.total} />
          {parts.map((part) => (
            <Rows
              key={part}
              name={causeName(part)}
              before={present.byPart.find((one) => one.part === part)?.tally}
              after={proposed.byPart.find((one) => one.part === part)?.tally}
            />
          ))}
          {present.byGun.map(({ gun, tally }) => (
            <Rows
              key={gun}
              name={nameOf(gun)}
              before={tally}
              after={proposed.byGun.find((one) => one.gun === gun)?.tally}
            />
          ))}
        </table>
      </section>
      <TallyLegend />
      <h3>Finding by finding</h3>
      {changed.length === 0 && <p>Every finding would have been raised when it is raised with the present settings.</p>}
      <ul class="dashes">
        {changed.map(({ kind, sprayHoursEarlier, present: before, proposed: after }) => {
          const finding = (after ?? before)!;
          const where = finding.gun === null ? (finding.guns ?? []).map(nameOf).join(', ') : nameOf(finding.gun);
          return (
            <li key={`${kind} ${finding.gun} ${finding.cause} ${finding.raised}`}>
              <strong>{KINDS[kind]}</strong>
              {sprayHoursEarlier !== null && ` by ${decimal(Math.abs(sprayHoursEarlier), 1)} spray h`}: {where},{' '}
              {causeName(finding.cause).toLowerCase()}, {before !== null && told(before.raised)}
              {before !== null && after !== null && ' → '}
              {after !== null && told(after.raised)}; {finding.because}
            </li>
          );
        })}
      </ul>
    </section>
  );
}

function Rows({
  name,
  before,
  after,
}: {
  name: string;
  before: Tally | undefined;
  after: Tally | undefined;
}): JSX.Element {
  return (
    <tbody>
      <tr class="present">
        <th scope="rowgroup" rowSpan={2}>
          {name}
        </th>
        <Cells of="present" tally={before} />
      </tr>
      <tr class="proposed">
        <Cells of="proposed" tally={after} />
      </tr>
    </tbody>
  );
}

function Cells({ of, tally }: { of: string; tally: Tally | undefined }): JSX.Element {
  return (
    <>
      <th scope="row">{of}</th>
      {tallyCells(tally).map((text, column) => (
        <td key={column}>{text}</td>
      ))}
    </>
  );
}
