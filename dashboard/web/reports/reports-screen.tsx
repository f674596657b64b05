import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import type { Site } from '../../server/endpoints/site.ts';
import type { Report } from '../../server/shop/journal-model.ts';
import { Frame } from '../frame/frame.tsx';
import { Tabs } from '../shop/tabs.tsx';
import { useLoaded } from '../shop/use-loaded.ts';
import { Waiting } from '../shop/waiting.tsx';
import { WithoutRuns } from '../shop/without-runs.tsx';
import { clock, day } from '../words/site-time.ts';
import { JournalView } from './journal-view.tsx';
import { ReportView } from './report-view.tsx';

export type ReportTab = 'shift' | 'week' | 'journal';
const TABS = [
  { href: '/reports', name: 'Shift hand-over' },
  { href: '/reports/week', name: 'Week' },
  { href: '/reports/journal', name: 'Journal' },
];
const TITLES: Readonly<Record<ReportTab, string>> = { shift: 'Shift hand-over', week: 'Week', journal: 'Journal' };

/** Pages that go from shift to shift and week to week, and the journal of all that was done. */
export function ReportsScreen({ tab }: { tab: ReportTab }): JSX.Element {
  const site = useLoaded<Site>('/api/site');
  return (
    <Frame title={TITLES[tab]} page="reports" wide>
      <Tabs label="Reports" tabs={TABS} here={tab === 'shift' ? '/reports' : `/reports/${tab}`} />
      <Waiting fault={site.fault} empty={site.data === null} />
      {site.data && (tab === 'journal' ? <JournalView site={site.data} /> : <Period kind={tab} site={site.data} />)}
    </Frame>
  );
}

/** Reports are kept, so their day has its year. */
const dated = (ms: number, site: Site): string => day(ms, site, Number.POSITIVE_INFINITY);

function Period({ kind, site }: { kind: 'shift' | 'week'; site: Site }): JSX.Element {
  const [at, setAt] = useState<string | null>(null);
  const query = `kind=${kind}${at === null ? '' : `&at=${encodeURIComponent(at)}`}`;
  const { data, fault } = useLoaded<Report>(`/api/report?${query}`);
  const step = (time: string, ms: number): void => setAt(new Date(Date.parse(time) + ms).toISOString());
  return (
    <>
      <Waiting fault={fault} empty={data === null} />
      {data && (
        <>
          <p class="lead">
            {dated(Date.parse(data.from), site)}, {clock(Date.parse(data.from), site)} to{' '}
            {kind === 'week' ? dated(Date.parse(data.to) - 1, site) : clock(Date.parse(data.to), site)}
          </p>
          <p class="no-print row">
            <button type="button" class="button" onClick={() => step(data.from, -60_000)}>
              The one before
            </button>
            {at !== null && (
              <button type="button" class="button" onClick={() => setAt(null)}>
                The present one
              </button>
            )}
            <button type="button" class="button" onClick={() => print()}>
              Print
            </button>
            <a class="button" href={`/api/report.csv?${query}`} download>
              Save as CSV
            </a>
          </p>
          <WithoutRuns what="Figures" style={site} />
          <ReportView report={data} site={site} />
        </>
      )}
    </>
  );
}
