/*
 * The world of one run in the interpreter: what a scenario may set and ask. Loaded first; written in the interpreter's own
 * dialect (ES5, nothing is hoisted, functions stand before their use) so that the same text runs there and in Node.
 * The other files of this folder hang themselves on `world`; a scenario moves it with world.advance, world.press and the like.
 */
var world = {
  /** Messages of everything that was thrown in a callback. */
  faults: [],
  /** What the program wants to be told of exceptions that nothing caught. */
  uncaught: undefined,
  /** What the interpreter would say of itself when asked. */
  errorFlags: [],
  /** Restarts that the program asked for. */
  restarts: 0,
  watchdogFedAt: -1,
};

/** Runs a callback as the interpreter does: what it throws is printed, and the program goes on. */
world.guard = function (act, argument) {
  try {
    act(argument);
  } catch (fault) {
    var said = '' + (fault && fault.message ? fault.message : fault);
    world.faults.push(said);
    print('CALLBACK THREW ' + said);
    if (world.uncaught) world.uncaught(said);
  }
};

/** Bytes of what I2C takes: numbers, strings, arrays and typed arrays, in any mixture, from the argument `from` on. */
world.bytesOf = function (values, from) {
  var bytes = [];
  for (var i = from; i < values.length; i++) {
    var value = values[i];
    if (typeof value === 'number') bytes.push(value & 255);
    else if (typeof value === 'string') for (var c = 0; c < value.length; c++) bytes.push(value.charCodeAt(c));
    else if (i + 1 === values.length) {
      // A list at the end, as a block for the memory: taken over whole.
      var whole = new Uint8Array(bytes.length + value.length);
      whole.set(bytes, 0);
      whole.set(value, bytes.length);
      return whole;
    } else for (var k = 0; k < value.length; k++) bytes.push(value[k] & 255);
  }
  return bytes;
};

if (typeof E === 'undefined') {
  // In Node; the interpreter has its own.
  var E = {
    getErrorFlags: function () {
      return [];
    },
    CRC32: function (bytes) {
      var crc = -1;
      for (var i = 0; i < bytes.length; i++) {
        crc ^= typeof bytes === 'string' ? bytes.charCodeAt(i) : bytes[i];
        for (var bit = 0; bit < 8; bit++) crc = crc & 1 ? (crc >>> 1) ^ 0xedb88320 : crc >>> 1;
      }
      return (crc ^ -1) >>> 0;
    },
    toString: function (bytes) {
      var text = '';
      for (var i = 0; i < bytes.length; i++) text += String.fromCharCode(bytes[i]);
      return text;
    },
  };
  var process = {
    memory: function () {
      return { free: 1, usage: 1, total: 2 };
    },
    env: { BOARD: 'NODE', VERSION: '2v29' },
  };
}
world.randomState = 12345;
E.hwRand = function () {
  world.randomState = (world.randomState * 1103 + 12345) % 2147483647;
  return world.randomState | 0;
};
E.enableWatchdog = function (seconds) {
  world.watchdogSeconds = seconds;
};
E.kickWatchdog = function () {
  world.watchdogFedAt = getTime();
};
E.reboot = function () {
  world.restarts++;
  // Nothing of this boot runs again; the scenario boots the next one.
  if (world.timers) world.timers = [];
  print('RESTART');
};
E.setConsole = function (device) {
  world.consoleDevice = device;
};
if (typeof global === 'undefined') var global = {};
var load = E.reboot;
var reset = E.reboot;
