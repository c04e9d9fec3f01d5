/* What the dashboard watches and how an alarm lives. Pure: time is passed in, nothing is stored or sent. */
export * from './alarm-lifecycle.js';
export * from './alarm-silence.js';
export * from './bath-watch.js';
export * from './condition-advice.js';
export * from './delayed-condition.js';
export * from './drift/cusum.js';
export * from './drift/ewma.js';
