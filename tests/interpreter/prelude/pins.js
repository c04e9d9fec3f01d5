/*
 * Pins and watches. Levels that the program reads are set by world.setLevel, and edges call its watches at once.
 * Knows nothing of what is wired to the pins: board.js does.
 */
world.levels = [];
world.pinModes = [];
world.watches = [];
world.nextWatchId = 1;
/** Set by board.js: called before a level is read and after one was written. */
world.settle = function () {};

world.levelOf = function (number) {
  return world.levels[number] ? 1 : 0;
};

world.setLevel = function (number, level) {
  if (world.levelOf(number) === level) return;
  world.levels[number] = level;
  for (var i = 0; i < world.watches.length; i++) {
    var watch = world.watches[i];
    if (watch.pin.number === number && (watch.edge === 'both' || (watch.edge === 'rising') === (level === 1))) {
      world.guard(watch.act, { state: level === 1, time: getTime(), lastTime: watch.lastTime, pin: watch.pin });
      watch.lastTime = getTime();
    }
  }
};

/** High and low again, as a magnet that passes the sensor. */
world.pulse = function (number) {
  world.setLevel(number, 1);
  world.setLevel(number, 0);
};

var digitalRead = function (pin) {
  world.settle();
  var pins = pin.number === undefined ? pin : [pin];
  var bits = 0;
  for (var i = 0; i < pins.length; i++) bits = bits * 2 + world.levelOf(pins[i].number);
  return bits;
};
var digitalWrite = function (pin, value) {
  world.levels[pin.number] = value ? 1 : 0;
  world.settle(pin.number);
};
var pinMode = function (pin, mode) {
  world.pinModes[pin.number] = mode;
  if (mode === 'input_pullup') world.levels[pin.number] = 1;
};
var setWatch = function (act, pin, options) {
  world.watches.push({ id: world.nextWatchId, act: act, pin: pin, edge: options.edge || 'both', lastTime: 0 });
  return world.nextWatchId++;
};
var clearWatch = function (id) {
  if (!arguments.length) throw new Error('clearWatch without an id would clear every watch of the program.');
  for (var i = 0; i < world.watches.length; i++) {
    if (world.watches[i].id === id) {
      world.watches.splice(i, 1);
      return;
    }
  }
};

world.pin = function (number) {
  var pin = { number: number };
  pin.read = function () {
    return !!digitalRead(pin);
  };
  pin.write = function (isHigh) {
    digitalWrite(pin, isHigh);
  };
  pin.mode = function (mode) {
    pinMode(pin, mode);
  };
  return pin;
};
var D2 = world.pin(2);
var D4 = world.pin(4);
var D5 = world.pin(5);
var D13 = world.pin(13);
var D14 = world.pin(14);
var D15 = world.pin(15);
var D16 = world.pin(16);
var D17 = world.pin(17);
var D18 = world.pin(18);
var D19 = world.pin(19);
var D21 = world.pin(21);
var D22 = world.pin(22);
var D23 = world.pin(23);
var D25 = world.pin(25);
var D26 = world.pin(26);
var D27 = world.pin(27);
var D32 = world.pin(32);
var D33 = world.pin(33);
var D34 = world.pin(34);
var D35 = world.pin(35);
var D36 = world.pin(36);
var D39 = world.pin(39);
