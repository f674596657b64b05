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
import type { Me } from '../server/endpoints/me.ts';
import { AtGunScreen } from './at-gun/at-gun-screen.tsx';
import { PAGES } from './frame/pages.ts';
import { askHistoryEarly } from './history/load-history.ts';
import { startLive } from './link/live.ts';
import { type Route, routeOf } from './route.ts';
import { loadMe, signedOut } from './sign-in/me.ts';
import { WallScreen } from './wall/wall-screen.tsx';

const place = document.getElementById('screen');
if (!place) throw new Error('the page has no place for the screen');
void open(place);

/** Shows the page that the address names, or what comes before it: choosing a password, signing in. */
async function open(place: HTMLElement): Promise<void> {
  if (location.pathname === '/welcome') {
    document.title = 'Choose your password – driftline';
    render(h((await import('./sign-in/welcome-screen.tsx')).WelcomeScreen, {}), place);
    return;
  }
  const route = routeOf(location.pathname, location.search);
  // On its way while the service says who is signed in; it asks for nothing before it is shown.
  const [one, screen] = await Promise.all([known(route), screenOf(route)]);
  if (signedOut(one)) {
    document.title = 'Sign in – driftline';
    const { SignInScreen } = await import('./sign-in/sign-in-screen.tsx');
    render(<SignInScreen brokenLink={location.pathname.startsWith('/wall/')} />, place);
    return;
  }
  startLive();
  document.title = `${PAGES.find(({ id }) => id === route.page)?.name} – driftline`;
  render(screen, place);
}

/** Who is signed in; once that is known, what a page shows first is asked for before its script is there. */
async function known({ page }: Route): Promise<Me | null> {
  const one = await loadMe();
  if (page === 'history' && !signedOut(one)) askHistoryEarly(location.search);
  return one;
}

/** The screen of each page, which comes only with its page: the wall and a phone at the gun need none of the others. */
async function screenOf(route: Route): Promise<JSX.Element> {
  switch (route.page) {
    case 'wall':
      return <WallScreen />;
    case 'jobs':
      if (route.job) return h((await import('./jobs/job-screen.tsx')).JobScreen, { job: route.job });
      return h((await import('./jobs/jobs-screen.tsx')).JobsScreen, {});
    case 'guns':
      if (route.gun !== null) return h((await import('./guns/gun-screen.tsx')).GunScreen, { gun: route.gun });
      return h((await import('./guns/guns-screen.tsx')).GunsScreen, {});
    case 'plan':
      return h((await import('./plan/plan-screen.tsx')).PlanScreen, {});
    case 'log':
      return h((await import('./log/log-screen.tsx')).LogScreen, { preset: route.preset });
    case 'at-gun':
      return <AtGunScreen gun={route.gun} />;
    case 'stock':
      return h((await import('./stock/stock-screen.tsx')).StockScreen, {});
    case 'life':
      return h((await import('./life/life-screen.tsx')).LifeScreen, {});
    case 'cost':
      return h((await import('./cost/cost-screen.tsx')).CostScreen, {});
    case 'reports':
      return h((await import('./reports/reports-screen.tsx')).ReportsScreen, { tab: route.tab });
    case 'labels':
      return h((await import('./labels/labels-screen.tsx')).LabelsScreen, {});
    case 'findings':
      return h((await import('./findings/findings-screen.tsx')).FindingsScreen, {});
    case 'history':
      return h((await import('./history/history-screen.tsx')).HistoryScreen, {});
    case 'baseline':
      return h((await import('./baseline/baseline-screen.tsx')).BaselineScreen, {});
    case 'settings':
      return h((await import('./settings/settings-screen.tsx')).SettingsScreen, {});
    case 'import':
      return h((await import('./import/import-screen.tsx')).ImportScreen, {});
    case 'status':
      return h((await import('./status/status-screen.tsx')).StatusScreen, {});
    case 'account':
      return h((await import('./people/account-screen.tsx')).AccountScreen, {});
    case 'people':
      return h((await import('./people/people-screen.tsx')).PeopleScreen, {});
    case 'audit':
      return h((await import('./people/audit-screen.tsx')).AuditScreen, {});
  }
}
