import { render } from 'preact';
import './styles/base.css';
import './styles/wall.css';
import './styles/sheet.css';
import './styles/log.css';
import './styles/print.css';
import { JobScreen } from './jobs/job-screen.tsx';
import { JobsScreen } from './jobs/jobs-screen.tsx';
import { startLive } from './link/live.ts';
import { LogScreen } from './log/log-screen.tsx';
import { routeOf } from './route.ts';
import { WallScreen } from './wall/wall-screen.tsx';

const route = routeOf(location.pathname, location.search);
const place = document.getElementById('screen');
if (!place) throw new Error('the page has no place for the screen');
startLive();
document.title = `${{ wall: 'Wall', jobs: 'Jobs', job: 'Job', log: 'Log work' }[route.screen]} – driftline`;
render(
  <>
    {route.screen === 'wall' && <WallScreen />}
    {route.screen === 'jobs' && <JobsScreen />}
    {route.screen === 'job' && <JobScreen job={route.job} />}
    {route.screen === 'log' && <LogScreen preset={route.preset} />}
  </>,
  place,
);
