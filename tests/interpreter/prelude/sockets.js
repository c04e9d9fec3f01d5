/*
 * TCP and UDP in memory, for runs on the virtual clock. world.peer takes what the program writes; world.deliver hands it bytes,
 * in pieces of world.chunkBytes, as a network would. Dialling is accepted, refused (throws) or unanswered (blocks first).
 */
world.network = 'accepts';
world.dials = [];
world.socket = undefined;
world.chunkBytes = 536;
world.datagramListener = undefined;

/** Bytes from the other side, in their order, one piece every few milliseconds. */
world.deliver = function (socket, bytes) {
  var wasEmpty = socket.waiting.length === 0;
  socket.waiting += bytes;
  if (wasEmpty) setTimeout(socket.pump, 5);
};

/** The connection goes away; the program hears it a little later. */
world.hangUp = function (socket) {
  if (!socket || socket.isClosed) return;
  socket.isClosed = true;
  setTimeout(function () {
    if (socket.listeners.close) socket.listeners.close(false);
  }, 1);
};

/** The same with an error told first. */
world.breakOff = function (socket) {
  if (socket.listeners.error) world.guard(socket.listeners.error, { code: -1, message: 'broken off' });
  world.hangUp(socket);
};

world.modules.net = {
  connect: function (options, onConnected) {
    world.dials.push({ host: options.host, port: options.port, at: getTime() });
    if (world.network === 'unanswered') world.block(15);
    if (world.network !== 'accepts') throw new Error('Connection failed');
    world.block(0.05);
    var socket = { listeners: {}, isClosed: false, waiting: '' };
    socket.pump = function () {
      var piece = socket.waiting.substr(0, world.chunkBytes);
      socket.waiting = socket.waiting.substr(world.chunkBytes);
      if (socket.waiting.length) setTimeout(socket.pump, 5);
      if (!socket.isClosed && socket.listeners.data) socket.listeners.data(piece);
    };
    socket.on = function (event, listener) {
      socket.listeners[event] = listener;
    };
    socket.write = function (bytes) {
      if (!socket.isClosed && world.peer) world.peer.receive(socket, bytes);
      return false;
    };
    socket.end = function () {
      world.hangUp(socket);
    };
    world.socket = socket;
    if (world.peer) world.peer.opened(socket);
    setTimeout(function () {
      if (!socket.isClosed) onConnected(socket);
    }, 1);
    return socket;
  },
};

world.modules.dgram = {
  createSocket: function () {
    var socket = { isClosed: false };
    socket.on = function (event, listener) {
      if (event === 'message') world.datagramListener = listener;
    };
    socket.bind = function (port, onBound) {
      world.boundPort = port;
      if (onBound) onBound(socket);
      return socket;
    };
    socket.send = function () {};
    socket.close = function () {
      world.datagramListener = undefined;
    };
    return socket;
  },
};

/** A datagram reaches the port that the program bound; lost when none is. */
world.deliverDatagram = function (text) {
  if (!world.datagramListener) return;
  var listener = world.datagramListener;
  world.guard(function () {
    listener(text, { address: '127.0.0.1', port: 5000, size: text.length });
  });
};
