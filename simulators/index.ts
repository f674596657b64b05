export { simulateToFolder } from './output/folder.ts';
export { scenarioNames, scenarios } from './scenarios/registry.ts';
export { Truth } from './truth.ts';
