import { type JSX, render } from 'preact';
import './styles/base.css';
import './styles/wall.css';
import './styles/sheet.css';
import './styles/frame.css';
import './styles/log.css';
import './styles/print.css';
import { PAGES } from './frame/pages.ts';
import { JobScreen } from './jobs/job-screen.tsx';
import { JobsScreen } from './jobs/jobs-screen.tsx';
import { startLive } from './link/live.ts';
import { LogScreen } from './log/log-screen.tsx';
import { type Route, routeOf } from './route.ts';
import { StatusScreen } from './status/status-screen.tsx';
import { WallScreen } from './wall/wall-screen.tsx';

const route = routeOf(location.pathname, location.search);
const place = document.getElementById('screen');
if (!place) throw new Error('the page has no place for the screen');
startLive();
document.title = `${PAGES.find(({ id }) => id === route.page)?.name} – driftline`;
render(<Screen route={route} />, place);

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
  }
}
