import { h, type JSX, render } from 'preact';
import './styles/base.css';
import './styles/wall.css';
import './styles/wall-guns.css';
import './styles/wall-flow.css';
import './styles/sheet.css';
import './styles/frame.css';
import './styles/log.css';
import './styles/people.css';
import './styles/upkeep.css';
import './styles/print.css';
import './styles/shop.css';
import './styles/at-gun.css';
import './styles/labels.css';
import './styles/look-row.css';
import './styles/stacked.css';
import { AtGunScreen } from './at-gun/at-gun-screen.tsx';
import { CostScreen } from './cost/cost-screen.tsx';
import { FindingsScreen } from './findings/findings-screen.tsx';
import { PAGES } from './frame/pages.ts';
import { GunScreen } from './guns/gun-screen.tsx';
import { GunsScreen } from './guns/guns-screen.tsx';
import { JobScreen } from './jobs/job-screen.tsx';
import { JobsScreen } from './jobs/jobs-screen.tsx';
import { LabelsScreen } from './labels/labels-screen.tsx';
import { LifeScreen } from './life/life-screen.tsx';
import { startLive } from './link/live.ts';
import { LogScreen } from './log/log-screen.tsx';
import { AccountScreen } from './people/account-screen.tsx';
import { AuditScreen } from './people/audit-screen.tsx';
import { PeopleScreen } from './people/people-screen.tsx';
import { PlanScreen } from './plan/plan-screen.tsx';
import { ReportsScreen } from './reports/reports-screen.tsx';
import { type Route, routeOf } from './route.ts';
import { loadMe, signedOut } from './sign-in/me.ts';
import { SignInScreen } from './sign-in/sign-in-screen.tsx';
import { WelcomeScreen } from './sign-in/welcome-screen.tsx';
import { StatusScreen } from './status/status-screen.tsx';
import { StockScreen } from './stock/stock-screen.tsx';
import { WallScreen } from './wall/wall-screen.tsx';

const place = document.getElementById('screen');
if (!place) throw new Error('the page has no place for the screen');
void open(place);

/** Shows the page that the address names, or what comes before it: choosing a password, signing in. */
async function open(place: HTMLElement): Promise<void> {
  if (location.pathname === '/welcome') {
    document.title = 'Choose your password – driftline';
    render(<WelcomeScreen />, place);
    return;
  }
  if (signedOut(await loadMe())) {
    document.title = 'Sign in – driftline';
    render(<SignInScreen brokenLink={location.pathname.startsWith('/wall/')} />, place);
    return;
  }
  const route = routeOf(location.pathname, location.search);
  startLive();
  document.title = `${PAGES.find(({ id }) => id === route.page)?.name} – driftline`;
  render(await screenOf(route), place);
}

/** The screen of each page. What draws charts comes only with its page: the wall and a phone at the gun need none of it. */
async function screenOf(route: Route): Promise<JSX.Element> {
  switch (route.page) {
    case 'wall':
      return <WallScreen />;
    case 'jobs':
      return route.job ? <JobScreen job={route.job} /> : <JobsScreen />;
    case 'guns':
      return route.gun === null ? <GunsScreen /> : <GunScreen gun={route.gun} />;
    case 'plan':
      return <PlanScreen />;
    case 'log':
      return <LogScreen preset={route.preset} />;
    case 'at-gun':
      return <AtGunScreen gun={route.gun} />;
    case 'stock':
      return <StockScreen />;
    case 'life':
      return <LifeScreen />;
    case 'cost':
      return <CostScreen />;
    case 'reports':
      return <ReportsScreen tab={route.tab} />;
    case 'labels':
      return <LabelsScreen />;
    case 'findings':
      return <FindingsScreen />;
    case 'history':
      return h((await import('./history/history-screen.tsx')).HistoryScreen, {});
    case 'baseline':
      return h((await import('./baseline/baseline-screen.tsx')).BaselineScreen, {});
    case 'settings':
      return h((await import('./settings/settings-screen.tsx')).SettingsScreen, {});
    case 'import':
      return h((await import('./import/import-screen.tsx')).ImportScreen, {});
    case 'status':
      return <StatusScreen />;
    case 'account':
      return <AccountScreen />;
    case 'people':
      return <PeopleScreen />;
    case 'audit':
      return <AuditScreen />;
  }
}
