/*
 * A clock that only a scenario moves: getTime, timeouts and intervals on virtual time, so that hours pass in moments.
 * Kept in whole microseconds, so that five times 200 ms are one second and not a little more.
 * An interval that was held up fires once for each time missed, as the interpreter's does. Left out where real time is wanted.
 */
world.nowMicros = 1000 * 1000000;
world.timers = [];
world.nextTimerId = 1;

world.addTimer = function (act, milliseconds, isRepeated) {
  var micros = milliseconds > 1 ? Math.floor(milliseconds * 1000 + 0.5) : 1000;
  world.timers.push({
    id: world.nextTimerId,
    act: act,
    dueAt: world.nowMicros + micros,
    every: isRepeated ? micros : 0,
  });
  return world.nextTimerId++;
};
world.removeTimer = function (id, count) {
  if (!count || id === undefined) throw new Error('A clear call without an id would clear every timer of the program.');
  for (var i = 0; i < world.timers.length; i++) {
    if (world.timers[i].id === id) {
      world.timers.splice(i, 1);
      return;
    }
  }
};

var getTime = function () {
  return world.nowMicros / 1000000;
};
var setTimeout = function (act, milliseconds) {
  return world.addTimer(act, milliseconds, false);
};
var setInterval = function (act, milliseconds) {
  return world.addTimer(act, milliseconds, true);
};
var clearTimeout = function (id) {
  world.removeTimer(id, arguments.length);
};
var clearInterval = function (id) {
  world.removeTimer(id, arguments.length);
};

/** Lets that many seconds pass and runs all that falls due, in order. */
world.advance = function (seconds) {
  var end = world.nowMicros + Math.floor(seconds * 1000000 + 0.5);
  for (;;) {
    var due = undefined;
    for (var i = 0; i < world.timers.length; i++) {
      var timer = world.timers[i];
      if (timer.dueAt <= end && (due === undefined || timer.dueAt < due.dueAt)) due = timer;
    }
    if (due === undefined) break;
    if (due.dueAt > world.nowMicros) world.nowMicros = due.dueAt;
    if (due.every) due.dueAt += due.every;
    else world.removeTimer(due.id, 1);
    world.guard(due.act);
  }
  if (world.nowMicros < end) world.nowMicros = end;
};

/** Time that passes while a blocking call holds every callback up. */
world.block = function (seconds) {
  world.nowMicros += Math.floor(seconds * 1000000 + 0.5);
};

// What the interpreter tells of itself: with a clock of our own its callbacks are ours, and so is what befalls them.
E.getErrorFlags = function () {
  var flags = world.errorFlags;
  world.errorFlags = [];
  return flags;
};
process.on = function (event, listener) {
  if (event === 'uncaughtException') world.uncaught = listener;
};
/** The interpreter takes the interval of so many milliseconds away, as after a stack overflow in it; with the flag or without. */
world.takeInterval = function (milliseconds, isFlagged) {
  for (var i = 0; i < world.timers.length; i++) {
    if (world.timers[i].every === milliseconds * 1000) {
      world.timers.splice(i, 1);
      break;
    }
  }
  if (isFlagged) world.errorFlags.push('CALLBACK');
};
