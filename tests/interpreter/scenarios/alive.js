/*
 * Everything that ends a boot or takes a part of the program away, in the middle of a run: each must end in an open contactor, and be told
 * after the restart. And a memory that falls silent, the time of day, the console that is taken away, and a board that restarts too often.
 */
world.settings.fitted.clock = 1;
world.saveSettings();
world.clockChip.isAbsent = false;
world.peer.events = [];
world.recipe[3] = 5;
world.recipe[4] = 10;
world.recipe[6] = 100000000;
boot();
print('console', world.consoleDevice);
world.makeReady();
print('console in ready', world.consoleDevice);
print('clock chip set', !world.clockChip.hasStopped, world.clockChip.registers.join());
world.press('start');
world.passUntil(4, 60);
world.pass(40);
world.say('plating');
world.peer.sayEvents('first boot', 1);

/** Plating again, whatever ended the last boot. */
var plateAgain = function () {
  world.resetLatch();
  world.pass(15);
  world.press('reset');
  world.pass(25);
  world.proveLatch();
  world.press('start');
  world.passUntil(4, 60);
  world.pass(65);
  world.say('plating again');
};

// The memory falls silent: told once, the bath goes on, and nothing is missing when it answers again.
world.fram.isAbsent = true;
world.pass(45);
print('memory fault', (world.peer.last('live').h >>> 14) & 1);
world.say('memory silent');
world.fram.isAbsent = false;
world.pass(20);
print('missing', world.peer.missing, 'doubled', world.peer.doubled);

// The power fails for ten minutes: the clock chip knows it, and the interruption says it.
world.powerCut();
world.clockChip.registers[1] += 0x10;
boot();
world.pass(20);
world.peer.sayEvents('booted after ten minutes', 1);
plateAgain();
world.peer.sayEvents('interruption', 10);

// An exception in a callback that nobody caught.
setTimeout(function () {
  throw new Error('on purpose');
}, 10);
world.pass(1);
print('outputs', world.levelOf(19), world.levelOf(2), world.relayHolds, 'console', world.consoleDevice);
world.pass(8);
boot();
plateAgain();
world.peer.sayEvents('told', 17);

// An exception in the control step itself.
var write = D18.write;
D18.write = function () {
  throw new Error('in the step');
};
world.pass(9);
D18.write = write;
print('outputs', world.levelOf(19), world.relayHolds);
boot();
plateAgain();
world.peer.sayEvents('told', 17);

// The interpreter takes the control step away, and says so.
world.takeInterval(200, true);
world.pass(9);
print('outputs', world.levelOf(19), world.relayHolds);
boot();
plateAgain();
world.peer.sayEvents('told', 17);

// It takes the keeper away, and does not say so. Only the watchdog is left then.
world.takeInterval(500, false);
world.pass(9);
var fedAt = world.watchdogFedAt;
world.pass(25);
print('outputs', world.levelOf(19), world.relayHolds, 'fed', world.watchdogFedAt > fedAt);
world.restartBoard();
boot();
plateAgain();
world.peer.sayEvents('told', 17);

// Commands and presses while the memory is silent: more phases than can wait leave a gap in the numbers, and the numbers tell it.
world.fram.isAbsent = true;
for (var i = 0; i < 6; i++) {
  world.command(2, 60);
  world.pass(3);
  world.press('start');
  world.pass(3);
}
world.fram.isAbsent = false;
world.pass(20);
print('missing', world.peer.missing > 0 && world.peer.missing < 20);

// Three boots in a row that end within a minute.
for (var k = 0; k < 3; k++) {
  world.restartBoard();
  boot();
  world.pass(20);
}
world.peer.sayEvents('told', 17);
world.restartBoard();
boot();
var dials = world.dials.length;
world.resetLatch();
world.pass(70);
world.press('start');
print('standing by', world.levelOf(19), world.dials.length - dials, getTime() - world.watchdogFedAt < 2);
world.restartBoard();
boot();
plateAgain();
world.peer.sayEvents('told', 17);

// A person at the console: not in a run.
print(global.bringUp());
print(global.bringUp(true));
world.press('stop');
world.pass(3);
print('asked', global.bringUp(true).length);
print(global.bringUp());
world.files['bring-up.js'] = 'print(1);';
world.files['bring-up.done'] = '[[1,2,3]]';
print(global.bringUp());
boot();
world.pass(20);
world.peer.sayEvents('bring-up', 18);
print('drops', world.contactorDrops, 'faults', world.faults.join(), 'doubled', world.peer.doubled);
