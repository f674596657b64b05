import { type JSX, render } from 'preact';
import './styles/base.css';
import './styles/wall.css';
import './styles/sheet.css';
import './styles/frame.css';
import './styles/log.css';
import './styles/people.css';
import './styles/print.css';
import { PAGES } from './frame/pages.ts';
import { JobScreen } from './jobs/job-screen.tsx';
import { JobsScreen } from './jobs/jobs-screen.tsx';
import { startLive } from './link/live.ts';
import { LogScreen } from './log/log-screen.tsx';
import { AccountScreen } from './people/account-screen.tsx';
import { AuditScreen } from './people/audit-screen.tsx';
import { PeopleScreen } from './people/people-screen.tsx';
import { type Route, routeOf } from './route.ts';
import { loadMe, signedOut } from './sign-in/me.ts';
import { SignInScreen } from './sign-in/sign-in-screen.tsx';
import { WelcomeScreen } from './sign-in/welcome-screen.tsx';
import { StatusScreen } from './status/status-screen.tsx';
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
  render(<Screen route={route} />, place);
}

/** The screen of each page. */
function Screen({ route }: { route: Route }): JSX.Element {
  switch (route.page) {
    case 'wall':
      return <WallScreen />;
    case 'jobs':
      return route.job ? <JobScreen job={route.job} /> : <JobsScreen />;
    case 'log':
      return <LogScreen preset={route.preset} />;
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
