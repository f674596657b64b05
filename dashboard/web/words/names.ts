/** Names of parts and causes as people say them; the ids are the contract's. */
const PARTS: Readonly<Record<string, string>> = {
  'inlet-filter': 'Inlet filter',
  'fluidizing-ring': 'Fluidizing ring',
  'pump-seals': 'Pump seals',
  'pump-insert': 'Pump insert',
  'conveying-filter': 'Conveying filter',
  'supplementary-filter': 'Supplementary filter',
  'powder-hose': 'Powder hose',
  'gun-seals': 'Gun seals',
  'gun-tube': 'Gun tube',
  'electrode-holder': 'Electrode holder',
  nozzle: 'Nozzle',
  'supply-air': 'Supply air',
  powder: 'Powder or its lot',
  'no-data': 'No data',
  'sensor:clock': 'Sensor’s clock',
};

const CHANNELS: Readonly<Record<string, string>> = {
  'conveying/pressure': 'conveying pressure',
  'conveying/flow': 'conveying flow',
  'conveying/ripple': 'ripple',
  'supplementary/pressure': 'supplementary pressure',
  'supplementary/flow': 'supplementary flow',
  'fluidizing/pressure': 'fluidizing pressure',
  'fluidizing/flow': 'fluidizing flow',
  'supply/pressure': 'supply pressure',
  'supply/temperature': 'supply temperature',
  'supply/dewpoint': 'dew point',
  'powder/output': 'powder output',
  'powder/mass': 'powder scale',
  'powder/id': 'powder name',
  trigger: 'trigger',
};

/** A channel as people say it: "conveying pressure". An unknown one stays as it is. */
export function channelName(channel: string): string {
  return CHANNELS[channel] ?? channel;
}

/** Where the whole name is too long to be read from afar beside the gun's. */
const SHORT: Readonly<Record<string, string>> = {
  'supplementary-filter': 'Suppl. filter',
  powder: 'Powder',
  'sensor:clock': 'Clock',
  'sensor:conveying/pressure': 'Pressure sensor',
  'sensor:conveying/flow': 'Flow sensor',
  'sensor:conveying/ripple': 'Ripple sensor',
  'sensor:supplementary/pressure': 'Suppl. sensor',
  'sensor:supplementary/flow': 'Suppl. sensor',
  'sensor:fluidizing/pressure': 'Fluid. sensor',
  'sensor:fluidizing/flow': 'Fluid. sensor',
  'sensor:supply/pressure': 'Supply sensor',
  'sensor:supply/temperature': 'Supply sensor',
  'sensor:supply/dewpoint': 'Dew point sensor',
  'sensor:powder/output': 'Output sensor',
  'sensor:powder/mass': 'Powder scale',
  'sensor:powder/id': 'Powder name',
  'sensor:trigger': 'Trigger signal',
};

/** For the wall beside a long name of a gun: at most 14 letters. */
const SHORTEST: Readonly<Record<string, string>> = {
  'conveying-filter': 'Conv. filter',
  'fluidizing-ring': 'Fluid. ring',
  'electrode-holder': 'Electr. holder',
  'sensor:conveying/pressure': 'Press. sensor',
  'sensor:supply/dewpoint': 'Dew point',
};

/** A part, cause or sensor in full: "Pump insert", "Sensor of conveying flow". An unknown id stays as it is. */
export function causeName(id: string): string {
  const channel = id.startsWith('sensor:') ? CHANNELS[id.slice(7)] : undefined;
  return PARTS[id] ?? (channel ? `Sensor of ${channel}` : id);
}

/** The same in at most 16 letters, for the wall. */
export function shortCauseName(id: string): string {
  return SHORT[id] ?? causeName(id);
}

/** The same in at most 14 letters. */
export function shortestCauseName(id: string): string {
  return SHORTEST[id] ?? shortCauseName(id);
}

/** How a part is checked by hand, in at most 12 letters. Source: handbook of the trade, common practice. */
const CHECKS: Readonly<Record<string, string>> = {
  'pump-insert': 'wear gauge',
  'pump-seals': 'leak test',
  'gun-seals': 'hose pull',
  'conveying-filter': 'blow test',
  'supplementary-filter': 'blow test',
  'fluidizing-ring': 'watch bed',
  'inlet-filter': 'look at it',
  'powder-hose': 'feel bend',
  'gun-tube': 'look inside',
  'electrode-holder': 'look at it',
  nozzle: 'look at it',
};

/** The check that comes before the job, in few words: "wear gauge first". */
export function checkFirst(part: string): string {
  return `${CHECKS[part] ?? 'check'} first`;
}
