/*
 * Everything that can go wrong at the bath, one after the other: each is raised, seen in the live message, and taken back.
 * The order keeps a run alive as long as may be; what trips it is followed by reset and start.
 */
world.saveSettings();
boot();
world.makeReady();
world.recipe[3] = 5;
world.recipe[4] = 10;
world.recipe[6] = 100000000;
world.recipe[10] = 14400;
world.command(4, 60, world.recipe);
world.pass(15);

/** Back to a plating run, whatever stopped it. */
var startAgain = function () {
  world.resetLatch();
  world.pass(3);
  world.press('reset');
  world.pass(25);
  world.proveLatch();
  world.press('start');
  world.pass(5);
};
startAgain();
world.passUntil(4, 200);
world.say('plating');

world.isTurning = false;
world.pass(40);
world.say('rotation stopped');
world.pass(130);
world.say('rotation stopped long');
// Over 120 % of the derated current, and under the alert limit: hold, left by a press.
world.extraAmps = 2.5;
world.pass(5);
world.say('current high');
world.extraAmps = 0;
world.pass(5);
world.press('start');
world.pass(3);
world.say('after hold');
world.isTurning = true;
world.pass(40);
world.say('turning again');

world.probe.celsius = 29;
world.pass(40);
world.say('bath warm');
world.probe.celsius = 24;
world.pass(60);
world.probe.isAbsent = true;
world.pass(40);
world.say('probe absent');
world.probe.isAbsent = false;
world.probe.frame = [0, 0, 0, 0, 0, 0, 0, 0, 0];
world.pass(10);
world.probe.frame = [1, 2, 3, 4, 5, 6, 7, 8, 9];
world.pass(10);
world.probe.frame = undefined;
world.probe.celsius = 120;
world.pass(10);
world.probe.celsius = -3;
world.pass(5);
world.probe.celsius = 24;
world.pass(60);
world.say('probe good');

world.extraAmps = 30;
world.pass(3);
world.say('alert');
world.extraAmps = 0;
startAgain();
world.say('after the alert');

world.monitor.isSilent = true;
world.pass(3);
world.say('monitor silent');
world.monitor.isSilent = false;
startAgain();
world.monitor.isFrozen = true;
world.pass(3);
world.say('monitor frozen');
world.monitor.isFrozen = false;
startAgain();
world.monitor.powerUp();
world.pass(4);
world.say('monitor changed');
startAgain();

world.emergencyReleased = false;
world.pass(2);
world.say('emergency stop');
world.emergencyReleased = true;
startAgain();
world.relayHolds = false;
world.pass(2);
world.say('contactor dropped');
startAgain();

world.setPoint.isSilent = true;
world.pass(5);
world.say('set-point output silent');
world.setPoint.isSilent = false;
startAgain();
world.fram.isAbsent = true;
world.pass(5);
world.fram.isAbsent = false;
world.pass(5);
world.say('memory back');

world.probe.celsius = 33;
world.pass(60);
world.say('bath hot');
world.probe.celsius = 41;
world.pass(60);
world.say('bath overheated');
world.probe.celsius = 24;
world.pass(70);
startAgain();
world.say('cool again');

world.press('stop');
world.pass(3);
world.say('stopped at the bath');
world.command(1, 60);
world.pass(3);
print('drops', world.contactorDrops, 'faults', world.faults.length, 'restarts', world.restarts);

// The control step's interval goes, as after a stack overflow: outputs off, and the watchdog is left hungry.
startAgain();
world.takeInterval(200, false);
var fedAt = world.watchdogFedAt;
world.pass(30);
print('clear', world.levelOf(19), 'code', world.setPoint.code, 'fed again', world.watchdogFedAt > fedAt + 1);
