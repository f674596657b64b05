export { simulateToFolder } from './output/folder.ts';
export { plantOf } from './output/plant-file.ts';
export { demoPlant, publishDemo } from './publish/demo.ts';
export { simulateToMqtt } from './publish/simulate-to-mqtt.ts';
export { buildHall } from './scenarios/build-hall.ts';
export { demoPlan } from './scenarios/demo.ts';
export { scenarioNames, scenarios } from './scenarios/registry.ts';
export { runHall } from './simulation.ts';
export { Truth } from './truth.ts';
