/*
 * What `require` gives: Storage in memory, Wifi and TelnetServer that note what they were told, crypto where there is one.
 * Sockets are put in by sockets.js (in memory) or left to the interpreter itself (real ones).
 */
world.files = {};
world.wifi = { joins: 0, station: 'connected', listeners: {} };
world.telnetMode = 'on';
world.realRequire = typeof require === 'undefined' ? undefined : require;

world.modules = {};
world.modules.Storage = {
  read: function (name) {
    return world.files[name];
  },
  readJSON: function (name, noExceptions) {
    try {
      return world.files[name] === undefined ? undefined : JSON.parse(world.files[name]);
    } catch (fault) {
      if (noExceptions) return undefined;
      throw fault;
    }
  },
  write: function (name, contents) {
    world.files[name] = contents;
    return true;
  },
  erase: function (name) {
    delete world.files[name];
  },
  getFree: function () {
    return 100000;
  },
};
/** The partition of 64 KB that the board keeps free, in small pieces as the FRAM; undefined until a scenario wants it. */
world.flash = undefined;
world.FLASH_AT = 0x310000;
world.useFlash = function () {
  world.flash = [];
  for (var piece = 0; piece < 512; piece++) world.flash[piece] = new Uint8Array(128).fill(255);
};
world.flashErases = 0;
/** Calls `take` with each piece that the bytes touch: piece, first byte in it, how many, how many before. */
world.eachFlashPiece = function (address, length, take) {
  for (var done = 0; done < length;) {
    var at = address - world.FLASH_AT + done;
    var count = Math.min(128 - (at & 127), length - done);
    take(world.flash[at >> 7], at & 127, count, done);
    done += count;
  }
};
world.modules.Flash = {
  getFree: function () {
    var areas = [{ addr: 0xe000, length: 0x2000 }];
    if (world.flash) areas.push({ addr: world.FLASH_AT, length: 0x10000 });
    // As the interpreter lists it, over its own Storage.
    areas.push({ addr: 0x360000, length: 0xa0000 });
    return areas;
  },
  erasePage: function (address) {
    world.flashErases++;
    world.eachFlashPiece(address - (address % 4096), 4096, function (piece) {
      piece.fill(255);
    });
  },
  write: function (bytes, address) {
    world.eachFlashPiece(address, bytes.length, function (piece, at, count, done) {
      for (var i = 0; i < count; i++) piece[at + i] &= bytes[done + i];
    });
  },
  read: function (length, address) {
    var bytes = new Uint8Array(length);
    world.eachFlashPiece(address, length, function (piece, at, count, done) {
      bytes.set(piece.slice(at, at + count), done);
    });
    return bytes;
  },
};
world.modules.TelnetServer = {
  setOptions: function (options) {
    world.telnetMode = options.mode;
  },
};
world.modules.Wifi = {
  connect: function (ssid, options, onDone) {
    world.wifi.joins++;
    world.wifi.ssid = ssid;
    onDone(null);
  },
  disconnect: function () {},
  on: function (event, listener) {
    world.wifi.listeners[event] = listener;
  },
  getIP: function () {
    return { ip: '127.0.0.1', mac: '00:00:00:00:00:00' };
  },
  getStatus: function () {
    return { station: world.wifi.station, ap: 'disabled' };
  },
  stopAP: function () {},
  setHostname: function () {},
};
var NRF = {
  sleep: function () {
    world.bluetoothSleeps = true;
  },
};
var ESP32 = {
  enableBLE: function (isOn) {
    world.bluetoothSleeps = !isOn;
  },
};

var require = function (name) {
  var module = world.modules[name];
  if (module) return module;
  if (module === undefined && world.realRequire) return world.realRequire(name);
  throw new Error('Module ' + name + ' not found');
};

/** The board without a network of its own to join: Wifi is not there, as on Linux. */
world.removeWifi = function () {
  world.modules.Wifi = null;
};
