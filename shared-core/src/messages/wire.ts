/*
 * The short keys and column orders of the payloads, from one table: the controller has little memory, so it sends
 * JSON with one-letter keys and rows without names. Keys are quoted so that the bundler never renames them.
 * Units on the wire are whole numbers: centiamperes, millivolts, centidegrees Celsius, tenths of a second, millicoulombs.
 */

/*
 * outbox   { v: 1, i: incarnation, b: boot now, u: uptime now (tenths), s: 1 when simulated, r: [record...], e: [event...] }
 *          Each record and event is a text: the bytes that the controller kept, see stored-row.ts. (Firmware before 0.1 sent lists of numbers.)
 * live     { v: 1, i, b, u, s, and the LiveKey fields }
 * status   { v: 1, o: 1 online / 0 offline }                                   retained; 0 is the last will
 * ack      { v: 1, i: incarnation, r: records on disk through, e: events on disk through }
 * command  proof + { v: 1, d: command id, n: counter, k: Command, i: incarnation, b: boot, x: expires at uptime (tenths),
 *                    g: [recipe columns] when k is recipe, c: centiamperes when k is lower }
 * A command's expiry is in the controller's own boot and uptime, which the dashboard knows from live: no wall clock is needed.
 *
 * UDP sign of life, sent by the dashboard to each of its controllers every 5 s: { v: 1, d: controller's id, t: dashboard's time,
 * whole seconds since 1970 } with its proof before it. It is broadcast: one that names another controller is passed over.
 *
 * Proof: 64 lower-case hexadecimal digits, HMAC-SHA-256 (RFC 2104) under the controller's 32 secret bytes. What it proves is
 * for a command its topic, a line feed and the JSON text; for a sign of life SIGN_OF_LIFE_PROVED and the JSON text.
 * The counter `n` rises with every command for a controller, follows the dashboard's time in milliseconds (so a restored data
 * folder does not fall behind), and the highest one taken is kept by the controller through restarts.
 */

/** Hexadecimal digits before the JSON text of a command and of a sign of life. */
export const PROOF_DIGITS = 64;
/** What stands before the JSON text of a sign of life when its proof is made. */
export const SIGN_OF_LIFE_PROVED = 'sign-of-life\n';
/** A controller's MQTT password is the proof of this text, in hexadecimal digits. */
export const PASSWORD_PROVED = 'mqtt password';

/** Columns of a record row. A record covers the sequence numbers first to first + span - 1, one a second. */
export const RecordColumn = {
  first: 0,
  span: 1,
  boot: 2,
  /** uptime at the last second covered, tenths */
  uptime: 3,
  run: 4,
  phase: 5,
  /** conditions that were active in any second covered */
  conditions: 6,
  /** cumulative charge of the run at the last second covered, whole millicoulombs */
  charge: 7,
  /** sum of permitted current over the seconds, centiamperes */
  permittedSum: 8,
  /** seconds with a good current and voltage reading */
  electricCount: 9,
  currentSum: 10,
  /** the extremes of all readings, not of the means of seconds; 0 and without meaning when electricCount is 0 */
  currentMin: 11,
  currentMax: 12,
  /** sum of terminal voltage over the good seconds, millivolts */
  voltageSum: 13,
  /** seconds with a good temperature reading */
  temperatureCount: 14,
  /** centidegrees */
  temperatureSum: 15,
  /** rotation pulses within the seconds covered */
  pulses: 16,
  /** conditions of codes 33 to 64, as `conditions` */
  conditionsHigh: 17,
} as const;
/** Of a record on the wire; as it is kept it has one more. */
export const RECORD_COLUMNS = 18;

/** Columns of an event row. */
export const EventColumn = { sequence: 0, boot: 1, uptime: 2, run: 3, kind: 4, code: 5, a: 6, b: 7 } as const;
export const EVENT_COLUMNS = 8;

/** Columns of a recipe row, in the units of Recipe; the controller checks every one of them again. */
export const RecipeColumn = {
  recipeId: 0,
  areaDm2: 1,
  strikeAmps: 2,
  strikeSeconds: 3,
  rampSeconds: 4,
  plateAmps: 5,
  chargeMilliCoulombs: 6,
  finishAmps: 7,
  finishSeconds: 8,
  holdAmps: 9,
  longestSeconds: 10,
  rotationPulsesPerMinute: 11,
  startCelsiusMin: 12,
  bathWarnCelsius: 13,
  bathHoldCelsius: 14,
} as const;
export const RECIPE_COLUMNS = 15;

/** The one-letter keys of a live message beside v, i, b, u, s. Currents in centiamperes, -1e6 and below never occur. */
export const LiveKey = {
  phase: 'p',
  /** absent while the monitor is at fault */
  current: 'c',
  /** absent while the monitor is at fault */
  voltage: 'o',
  /** absent while the probe is at fault */
  temperature: 't',
  permitted: 'n',
  charge: 'q',
  run: 'a',
  recipeId: 'd',
  /** whole seconds in this phase */
  phaseSeconds: 'z',
  /** whole live seconds of the run */
  liveSeconds: 'l',
  conditions: 'm',
  permissivesMissing: 'w',
  contactorClosed: 'x',
  /** milliseconds between the last two rotation pulses, 0 when none was seen yet */
  pulsePeriod: 'y',
  /** seconds since the last rotation pulse, at most 9999 */
  pulseAge: 'j',
  /** per cent of the recipe's current that is permitted now, 100 when nothing derates */
  derate: 'f',
  /** records waiting in the outbox */
  waiting: 'k',
  /** conditions of codes 33 to 64 */
  conditionsHigh: 'h',
  /** SupplyKind */
  supplyKind: 'e',
  /** RampState: 0 goes on, 1 waits, 2 backs off, 3 paused at the bath */
  rampState: 'g',
  /** ceiling set by `lower`, centiamperes; absent when there is none */
  lowered: 'r',
} as const;
