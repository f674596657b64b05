/** The house's one direction: simulators -> contract <- collector -> analyzer -> dashboard. */
const PURE =
  '^analyzer/((runs|baseline|detect|diagnose|forecast|advise|life|stock|cost|upkeep|stats|physics)/|(pipeline[a-z-]*|sight|site|views)\\.ts$)';
module.exports = {
  forbidden: [
    { name: 'no-cycles', severity: 'error', from: {}, to: { circular: true } },
    {
      name: 'contract-imports-nothing-of-ours',
      severity: 'error',
      from: { path: '^collector/contract/' },
      to: { path: '^(collector|analyzer|dashboard|simulators)/', pathNot: '^collector/contract/' },
    },
    {
      name: 'collector-imports-only-itself',
      severity: 'error',
      from: { path: '^collector/' },
      to: { path: '^(analyzer|dashboard|simulators)/' },
    },
    {
      name: 'simulators-know-only-the-contract',
      severity: 'error',
      from: { path: '^simulators/' },
      to: { path: '^(collector|analyzer|dashboard)/', pathNot: '^collector/contract/' },
    },
    {
      name: 'nobody-imports-simulators',
      severity: 'error',
      from: { path: '^(collector|analyzer|dashboard)/' },
      to: { path: '^simulators/' },
    },
    {
      name: 'analyzer-does-not-know-the-dashboard',
      severity: 'error',
      from: { path: '^analyzer/' },
      to: { path: '^dashboard/' },
    },
    {
      name: 'pure-rooms-know-only-pure-rooms',
      severity: 'error',
      from: { path: PURE },
      to: {
        path: '^(collector|analyzer|dashboard|simulators)/',
        pathNot: [PURE, '^collector/contract/'],
      },
    },
    { name: 'pure-rooms-do-no-io', severity: 'error', from: { path: PURE }, to: { dependencyTypes: ['core'] } },
    {
      name: 'collector-is-entered-through-its-index',
      severity: 'error',
      from: { path: '^(analyzer|dashboard)/' },
      to: { path: '^collector/', pathNot: ['^collector/((store|files)/)?index\\.ts$', '^collector/contract/'] },
    },
    {
      name: 'analyzer-is-entered-through-its-index',
      severity: 'error',
      from: { path: '^dashboard/' },
      to: { path: '^analyzer/', pathNot: '^analyzer/index\\.ts$' },
    },
    {
      name: 'evaluation-enters-through-the-indexes',
      severity: 'error',
      from: { path: '^evaluation/' },
      to: { path: '^(collector|analyzer|simulators)/', pathNot: ['/index\\.ts$', '^collector/contract/'] },
    },
    {
      name: 'nobody-imports-the-evaluation',
      severity: 'error',
      from: { path: '^(collector|analyzer|dashboard|simulators)/' },
      to: { path: '^evaluation/' },
    },
    {
      name: 'commands-enter-through-the-indexes',
      severity: 'error',
      from: { path: '^(commands/|driftline\\.ts$)' },
      to: {
        path: '^(collector|analyzer|dashboard|simulators|evaluation)/',
        pathNot: ['/index\\.ts$', '^collector/contract/'],
      },
    },
    {
      name: 'only-the-program-imports-commands',
      severity: 'error',
      from: { path: '^(collector|analyzer|dashboard|simulators|evaluation)/' },
      to: { path: '^(commands/|driftline\\.ts$)' },
    },
    {
      name: 'server-knows-the-rest-through-its-sources',
      severity: 'error',
      from: { path: '^dashboard/server/' },
      to: { path: '^dashboard/', pathNot: '^dashboard/server/' },
    },
    {
      name: 'only-the-service-and-commands-put-the-dashboard-together',
      severity: 'error',
      from: { path: '^dashboard/', pathNot: '^dashboard/(service/|index\\.ts$)' },
      to: { path: '^dashboard/service/' },
    },
    {
      name: 'web-takes-only-types-and-schemas',
      severity: 'error',
      from: { path: '^dashboard/web/' },
      to: {
        path: '^(collector|analyzer|dashboard/server)/',
        pathNot: '^collector/contract/',
        dependencyTypesNot: ['type-only'],
      },
    },
  ],
  options: {
    doNotFollow: { path: 'node_modules' },
    exclude: { path: 'node_modules' },
    tsPreCompilationDeps: true,
    tsConfig: { fileName: 'tsconfig.json' },
    enhancedResolveOptions: { extensions: ['.ts', '.tsx', '.js'] },
  },
};
