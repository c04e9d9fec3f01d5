/*
 * Boards that lack something: no settings file, wrong settings, no FRAM, no radio, no chips at all. Nothing may be energised, and
 * the loop and the link must go on as far as they can.
 */
world.fram.isAbsent = true;
world.removeWifi();
boot();
world.resetLatch();
world.pass(30);
world.press('start');
world.pass(5);
print('without settings', world.levelOf(19), world.relayHolds, world.setPoint.code);

world.restartBoard();
world.settings.rig.currentAmpsMax = 9999;
world.settings.link.address = 17;
world.saveSettings();
boot();
world.pass(10);
print('wrong settings', world.levelOf(19));

world.restartBoard();
world.settings.rig.currentAmpsMax = 60;
world.settings.link.address = '127.0.0.1';
world.saveSettings();
boot();
world.pass(10);
print('above what the shunt monitor can see', world.levelOf(19));

// RAM in the place of the FRAM: more records than it holds, and a run on it.
world.restartBoard();
world.settings.rig.currentAmpsMax = 35;
world.saveSettings();
world.dashboardIsAlive = false;
boot();
world.pass(120);
world.dashboardIsAlive = true;
world.makeReady();
world.say('on RAM');
world.press('start');
world.pass(20);
world.say('running on RAM');

world.monitor.isSilent = true;
world.setPoint.isSilent = true;
world.probe.isAbsent = true;
world.pass(10);
world.say('no chips');
print('clear', world.levelOf(19), 'faults', world.faults.length, 'restarts', world.restarts);
