/*
 * The bath for a run in real time: the part turns while its motor is on, and somebody stands there who closes the latch and presses start
 * whenever that may be done. Measures the program's own two intervals. Runs before the bundle, in the interpreter only.
 */
world.worst = [0, 0, 0];
world.programInterval = setInterval;
world.measured = function (act, place) {
  var lastAt = getTime();
  return function () {
    var startedAt = getTime();
    act();
    var took = getTime() - startedAt;
    if (took > world.worst[place]) world.worst[place] = took;
    if (place === 0 && startedAt - lastAt > world.worst[2]) world.worst[2] = startedAt - lastAt;
    lastAt = startedAt;
  };
};
world.seconds = 0;
world.programInterval(function () {
  world.seconds++;
  if (world.levelOf(25) && world.seconds % 10 === 0) world.pulse(world.ROTATION);
  if (world.seconds % 5 === 0) {
    if (!world.latchClosed) world.resetLatch();
    else if (world.levelOf(19) && !world.relayHolds) world.press('start');
  }
  if (world.seconds % 15 === 0) {
    print(
      'STATE',
      world.seconds,
      process.memory().usage,
      Math.floor(world.worst[0] * 1e6),
      Math.floor(world.worst[1] * 1e6),
      Math.floor(world.worst[2] * 1e6),
      world.relayHolds ? 1 : 0,
      world.contactorDrops,
      world.restarts
    );
  }
}, 1000);
var setInterval = function (act, milliseconds) {
  if (milliseconds === 200) act = world.measured(act, 0);
  if (milliseconds === 500) act = world.measured(act, 1);
  return world.programInterval(act, milliseconds);
};
