/*
 * Everything that can go wrong on the link: nobody there, refused, unanswered, bytes in small pieces, rubbish, silence, hang-ups,
 * wrong password, commands that are late, unknown or repeated, and a long silence with a power cut at its end.
 */
world.saveSettings();
world.dashboardIsAlive = false;
boot();
world.pass(20);
print('dials without a sign of life', world.dials.length);
world.deliverDatagram('rubbish');
world.deliverDatagram('{"v":2,"t":1}');
world.deliverDatagram('{"v":1}');
world.deliverDatagram('[[[[[[{{{{');
world.pass(5);
print('dials after rubbish', world.dials.length);
world.dashboardIsAlive = true;
world.network = 'refused';
world.pass(30);
print('refused', world.dials.length > 3);
world.network = 'unanswered';
world.pass(50);
print('unanswered', world.dials.length);
world.network = 'accepts';
world.peer.refusalCode = 5;
world.pass(65);
world.say('wrong password');
world.peer.refusalCode = 0;
world.chunkBytes = 3;
world.pass(65);
world.say('connected in small pieces');
print('subscriptions', world.peer.subscriptions.join());

var topic = world.COMMAND_TOPIC;
var send = function (message, qos) {
  world.peer.publish(topic, world.commandText(message), qos);
};
world.peer.publish(topic, 'rubbish', 1);
world.peer.publish(topic, '{"v":1,"d":900,"k":1}', 1);
world.peer.publish(topic, world.prove('other topic') + '{"v":1,"d":900,"n":9,"k":1}', 1);
send({ d: 900, k: 1 }, 1);
send({ d: 901, k: 99, b: 1, x: 99999999 }, 1);
send({ d: 902, k: 4, b: 1, x: 99999999, g: [1, 2, 3] }, 1);
send({ d: 903, k: 1, b: 77, x: 99999999 }, 0);
world.pass(10);
var late = world.commandText({ d: 904, k: 1, b: 1, x: 1 });
world.peer.publish(topic, late, 1);
world.peer.publish(topic, late, 1);
send({ d: 905, k: 5, b: 1, x: 99999999, c: 200 }, 1);
send({ d: 906, k: 1, b: 1, x: 99999999 }, 1);
world.command(4, 60, [8, 15.5, 4, 30, 60, 99, 2400000, 2, 60, 5, 3600, 6, 18, 28, 32]);
world.pass(10);
world.say('commands answered');
world.peer.publish('bathkeeper/1/north-bench/ack', '{"v":1,"i":1,"r":5,"e":5}', 1);
world.peer.publish('somewhere/else', 'text', 0);
world.pass(5);

world.chunkBytes = 536;
var first = world.socket;
world.deliver(world.socket, String.fromCharCode(0x30, 255, 255, 255, 127) + 'more than any packet');
world.pass(5);
print('closed by an oversized packet', first.isClosed);
world.pass(20);
world.deliver(world.socket, String.fromCharCode(0x30, 0xf0, 0x20) + new Array(5000).join('x'));
world.pass(20);
world.peer.answersPing = false;
world.peer.answersPublish = false;
world.peer.acknowledgesOutbox = false;
var connects = world.peer.connects.length;
world.pass(60);
print('reconnects when nothing is heard', world.peer.connects.length > connects);
world.peer.answersPing = true;
world.peer.answersPublish = true;
world.pass(40);
print('sends again what was not acknowledged', world.peer.counts.outbox > 10);
world.peer.acknowledgesOutbox = true;
world.breakOff(world.socket);
world.pass(30);
world.say('back');

// A long silence, and a power cut at its end: what waited is sent afterwards.
world.hangUp(world.socket);
world.dashboardIsAlive = false;
world.pass(150);
world.powerCut();
boot();
world.dashboardIsAlive = true;
world.pass(60);
world.say('after the long silence');
print('records through', world.peer.recordsThrough > 500, 'faults', world.faults.length);

// On a board with a radio the join is tried again and again; this one has lost it.
world.wifi.station = 'off';
world.pass(50);
print('joins', world.wifi.joins > 1, 'telnet', world.telnetMode);
if (world.wifi.listeners.connected) world.wifi.listeners.connected({});
world.pass(10);
