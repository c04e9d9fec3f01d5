/*
 * The other end of the link in memory: as much of an MQTT 3.1.1 broker and of the dashboard as a controller needs to meet.
 * It keeps the last publish on each topic, acknowledges the outbox end to end, and sends commands. Not for real sockets.
 */
world.peer = {
  /** By the last word of the topic: how many came, and the last one's text. */
  counts: { live: 0, outbox: 0, status: 0 },
  texts: {},
  repeats: 0,
  subscriptions: [],
  connects: [],
  acknowledgesOutbox: true,
  answersPublish: true,
  answersPing: true,
  refusalCode: 0,
  nextPacketId: 1,
  puback: 0,
  input: '',
  recordsThrough: 0,
  eventsThrough: 0,
  /** Numbers that no record covered, and records that came again. */
  missing: 0,
  doubled: 0,
  /** Kind, code, a and b of each event, when a scenario has set this to a list. */
  events: undefined,
};

world.peer.opened = function () {
  world.peer.input = '';
};
world.peer.sixteen = function (value) {
  return String.fromCharCode(value >> 8, value & 255);
};
world.peer.packet = function (first, body) {
  var length = body.length;
  var head = '';
  do {
    var digit = length & 127;
    length = length >> 7;
    head += String.fromCharCode(length ? digit | 128 : digit);
  } while (length);
  return String.fromCharCode(first) + head + body;
};
world.peer.publish = function (topic, text, qos) {
  var id = qos ? world.peer.sixteen(world.peer.nextPacketId++) : '';
  world.deliver(
    world.socket,
    world.peer.packet(qos ? 0x32 : 0x30, world.peer.sixteen(topic.length) + topic + id + text)
  );
};

world.peer.handle = function (socket, type, flags, body) {
  var word = function (at) {
    return body.charCodeAt(at) * 256 + body.charCodeAt(at + 1);
  };
  if (type === 1) {
    world.peer.connects.push(body);
    world.deliver(socket, world.peer.packet(0x20, String.fromCharCode(0, world.peer.refusalCode)));
  } else if (type === 3) {
    var topic = body.substr(2, word(0));
    var qos = (flags >> 1) & 3;
    var at = 2 + topic.length;
    var id = qos ? body.substr(at, 2) : '';
    var text = body.substr(at + id.length);
    var kind = topic.split('/').pop();
    world.peer.counts[kind]++;
    world.peer.texts[kind] = text;
    if (flags & 8) world.peer.repeats++;
    if (qos && world.peer.answersPublish) world.deliver(socket, world.peer.packet(0x40, id));
    if (kind === 'outbox' && world.peer.acknowledgesOutbox) world.peer.acknowledge(topic, JSON.parse(text));
  } else if (type === 4) {
    world.peer.puback++;
  } else if (type === 8) {
    var granted = '';
    for (var next = 2; next < body.length;) {
      var length = word(next);
      world.peer.subscriptions.push(body.substr(next + 2, length));
      granted += String.fromCharCode(1);
      next += 3 + length;
    }
    world.deliver(socket, world.peer.packet(0x90, body.substr(0, 2) + granted));
  } else if (type === 12) {
    if (world.peer.answersPing) world.deliver(socket, world.peer.packet(0xd0, ''));
  } else if (type === 14) {
    world.hangUp(socket);
  }
};

/** The words of a row as the controller keeps it: four bytes each, lowest first, in base64. Its check sum is not looked at here. */
world.peer.words = function (text) {
  var digits = 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/';
  var bytes = [];
  var bits = 0;
  var i;
  for (i = 0; i < text.length && text[i] !== '='; i++) {
    bits = ((bits << 6) | digits.indexOf(text[i])) & 0xffffff;
    if (i & 3) bytes.push((bits >> (6 - (i & 3) * 2)) & 255);
  }
  var words = [];
  for (i = 0; i + 7 < bytes.length; i += 4)
    words.push(bytes[i] | (bytes[i + 1] << 8) | (bytes[i + 2] << 16) | (bytes[i + 3] << 24));
  return words;
};
world.peer.acknowledge = function (topic, message) {
  var i;
  var records = (message.r || []).map(function (text) {
    return world.peer.words(text);
  });
  var events = (message.e || []).map(function (text) {
    return world.peer.words(text);
  });
  for (i = 0; i < records.length; i++) {
    var first = records[i][0];
    if (first > world.peer.recordsThrough + 1) world.peer.missing += first - world.peer.recordsThrough - 1;
    if (first <= world.peer.recordsThrough) world.peer.doubled++;
    world.peer.recordsThrough = Math.max(world.peer.recordsThrough, first + records[i][1] - 1);
  }
  for (i = 0; i < events.length; i++) {
    if (world.peer.events && events[i][0] > world.peer.eventsThrough)
      world.peer.events.push(events[i].slice(5).join('/'));
    world.peer.eventsThrough = Math.max(world.peer.eventsThrough, events[i][0]);
  }
  world.peer.publish(
    topic.replace('/outbox', '/ack'),
    JSON.stringify({ v: 1, i: message.i, r: world.peer.recordsThrough, e: world.peer.eventsThrough }),
    1
  );
};

world.peer.receive = function (socket, bytes) {
  world.peer.input += bytes;
  for (;;) {
    var input = world.peer.input;
    var length = 0;
    var shift = 0;
    var at = 1;
    var isWhole = false;
    while (at < input.length) {
      var digit = input.charCodeAt(at++);
      length += (digit & 127) << shift;
      shift += 7;
      if (digit < 128) {
        isWhole = true;
        break;
      }
    }
    if (!isWhole || input.length < at + length) return;
    world.peer.input = input.substr(at + length);
    world.peer.handle(socket, input.charCodeAt(0) >> 4, input.charCodeAt(0) & 15, input.substr(at, length));
  }
};

/** Prints the events of a kind that came since the last call, and forgets all that came. */
world.peer.sayEvents = function (title, kind) {
  var said = [];
  for (var i = 0; i < world.peer.events.length; i++) {
    if (world.peer.events[i].split('/')[0] === '' + kind) said.push(world.peer.events[i]);
  }
  world.peer.events = [];
  print(title + ': ' + said.join(' '));
};

/** The last message of a kind ('live', 'outbox', 'status'), parsed; undefined when there was none. */
world.peer.last = function (kind) {
  return world.peer.texts[kind] === undefined ? undefined : JSON.parse(world.peer.texts[kind]);
};
