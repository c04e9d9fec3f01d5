/* A bath in the middle of plating, for the tests of the page's words; each test changes what it is about. */
export { cannedController, cannedLive, cannedRun, NIGHT_MS, recipe } from '../../browser/canned-night.js';
