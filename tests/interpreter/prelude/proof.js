/*
 * What the dashboard of the prelude proves its messages with: HMAC-SHA-256 (RFC 2104) under the secret in the settings, over the
 * SHA-256 of the interpreter (in Node: of Node). Written by itself, so that it does not share a mistake with the firmware.
 */
world.secret = '';
for (var quarter = 0; quarter < 16; quarter++) world.secret += 'c3a5';

world.bytesText = function (bytes) {
  var view = new Uint8Array(bytes);
  var text = '';
  for (var i = 0; i < view.length; i++) text += String.fromCharCode(view[i]);
  return text;
};

/** 64 hexadecimal digits. */
world.prove = function (text) {
  var sha256 = require('crypto').SHA256;
  var pads = ['', ''];
  for (var i = 0; i < 64; i++) {
    var byte = i < 32 ? parseInt(world.secret.substr(2 * i, 2), 16) : 0;
    pads[0] += String.fromCharCode(byte ^ 0x36);
    pads[1] += String.fromCharCode(byte ^ 0x5c);
  }
  var digest = new Uint8Array(sha256(pads[1] + world.bytesText(sha256(pads[0] + text))));
  var digits = '';
  for (var k = 0; k < digest.length; k++) digits += (digest[k] < 16 ? '0' : '') + digest[k].toString(16);
  return digits;
};

world.lastCounter = 1750000000000;
world.COMMAND_TOPIC = 'bathkeeper/1/north-bench/command';

/** The payload of a command: numbered, for the memory that the last live message named, and proved. */
world.commandText = function (message) {
  message.v = 1;
  message.n = ++world.lastCounter;
  message.i = (world.peer.last('live') || {}).i;
  var text = JSON.stringify(message);
  return world.prove(world.COMMAND_TOPIC + '\n' + text) + text;
};

/** A sign of life for the controller of the settings. */
world.signText = function (seconds) {
  var text = JSON.stringify({ v: 1, d: 'north-bench', t: seconds });
  return world.prove('sign-of-life\n' + text) + text;
};
