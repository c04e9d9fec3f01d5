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
