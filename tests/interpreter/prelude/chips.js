/*
 * The chips at register level: INA226 at 0x40, MCP4725 at 0x60, 32 KB FRAM at 0x50, DS3231 at 0x68, DS18B20 on the 1-Wire pin.
 * A scenario silences or disturbs them through world.monitor, world.fram and the like; a chip that does not answer throws, as a NACK does.
 */
world.monitor = { isSilent: false, isFrozen: false, readyAt: 0, pointer: 0 };
world.monitor.powerUp = function () {
  // SBOS547, table 5: values after power-on.
  world.monitor.configuration = 0x4127;
  world.monitor.calibration = 0;
  world.monitor.mask = 0;
  world.monitor.limit = 0;
};
world.monitor.powerUp();
world.setPoint = { code: 0, codeAtZero: 0, codesPerAmp: 100, isSilent: false };
world.fram = { banks: [], pointer: 0, isAbsent: false };
world.shuntMicroOhms = 1500;
/** Registers 0 to 6, and whether its oscillator once stopped. Its time stands still here: a scenario sets what it would be. */
world.clockChip = { isAbsent: true, hasStopped: true, pointer: 0, registers: [0, 0, 0, 1, 1, 1, 0] };

// In small pages: on Linux the interpreter walks through a typed array from its start to find an element.
for (var bank = 0; bank < 16; bank++) {
  world.fram.banks[bank] = [];
  for (var page = 0; page < 16; page++) world.fram.banks[bank][page] = new Uint8Array(128);
}
/** Moves bytes between the memory, from its pointer on, and a typed array; whole pages at once. */
world.fram.move = function (bytes, isWrite) {
  for (var done = 0; done < bytes.length;) {
    var pointer = world.fram.pointer;
    var page = world.fram.banks[pointer >> 11][(pointer >> 7) & 15];
    var at = pointer & 127;
    var count = Math.min(128 - at, bytes.length - done);
    if (isWrite) page.set(bytes.slice(done, done + count), at);
    else bytes.set(page.slice(at, at + count), done);
    done += count;
    world.fram.pointer = (pointer + count) & 32767;
  }
};

world.setPointAmps = function () {
  return (world.setPoint.code - world.setPoint.codeAtZero) / world.setPoint.codesPerAmp;
};

world.monitor.shunt = function () {
  var register = Math.floor((world.amps() * world.shuntMicroOhms) / 2.5 + 0.5);
  register = register > 32767 ? 32767 : register < -32768 ? -32768 : register;
  var limit = world.monitor.limit > 32767 ? world.monitor.limit - 65536 : world.monitor.limit;
  if (world.monitor.mask & 0x8000 && register > limit) {
    world.latchClosed = false;
    world.settle();
  }
  return register;
};
world.monitor.register = function () {
  switch (world.monitor.pointer) {
    case 0x00:
      return world.monitor.configuration;
    case 0x01:
      return world.monitor.shunt();
    case 0x02:
      return Math.floor(world.volts() / 0.00125);
    case 0x05:
      return world.monitor.calibration;
    case 0x06:
      // Reading it clears the conversion-ready flag (bit 3); the next one is ready 140.8 ms later.
      if (world.monitor.isFrozen || getTime() < world.monitor.readyAt) return world.monitor.mask;
      world.monitor.readyAt = getTime() + 0.1408;
      return world.monitor.mask | 8;
    case 0x07:
      return world.monitor.limit;
    case 0xfe:
      return 0x5449;
    case 0xff:
      return 0x2260;
    default:
      return 0;
  }
};
world.monitor.write = function (bytes) {
  world.monitor.pointer = bytes[0];
  if (bytes.length < 3) return;
  var value = bytes[1] * 256 + bytes[2];
  if (bytes[0] === 0x00) world.monitor.configuration = value;
  if (bytes[0] === 0x05) world.monitor.calibration = value;
  if (bytes[0] === 0x06) world.monitor.mask = value;
  if (bytes[0] === 0x07) world.monitor.limit = value;
};

world.noAnswer = function (address) {
  throw new Error('I2C device not responding at ' + address);
};

var I2C1 = {
  setup: function () {},
  writeTo: function (address) {
    var bytes = world.bytesOf(arguments, 1);
    if (address === 0x40 && !world.monitor.isSilent) {
      world.monitor.shunt();
      world.monitor.write(bytes);
    } else if (address === 0x60 && !world.setPoint.isSilent) {
      world.setPoint.code = (bytes[0] & 15) * 256 + bytes[1];
    } else if (address === 0x50 && !world.fram.isAbsent) {
      world.fram.pointer = (bytes[0] * 256 + bytes[1]) & 32767;
      if (bytes.length > 2) world.fram.move(bytes.slice(2), true);
    } else if (address === 0x68 && !world.clockChip.isAbsent) {
      world.clockChip.pointer = bytes[0];
      for (var i = 1; i < bytes.length; i++) {
        if (bytes[0] === 0x0f) world.clockChip.hasStopped = bytes[i] > 127;
        else world.clockChip.registers[bytes[0] + i - 1] = bytes[i];
      }
    } else world.noAnswer(address);
  },
  readFrom: function (address, quantity) {
    var bytes = new Uint8Array(quantity);
    if (address === 0x40 && !world.monitor.isSilent) {
      var register = world.monitor.register();
      bytes[0] = register >> 8;
      bytes[1] = register & 255;
    } else if (address === 0x60 && !world.setPoint.isSilent) {
      // Ready, then the DAC register (MCP4725 data sheet, figure 6-3).
      bytes[0] = 0xc0;
      bytes[1] = world.setPoint.code >> 4;
      bytes[2] = (world.setPoint.code & 15) << 4;
    } else if (address === 0x50 && !world.fram.isAbsent) {
      world.fram.move(bytes, false);
    } else if (address === 0x68 && !world.clockChip.isAbsent) {
      for (var i = 0; i < quantity; i++) {
        bytes[i] =
          world.clockChip.pointer === 0x0f ? (world.clockChip.hasStopped ? 128 : 0) : world.clockChip.registers[i];
      }
    } else world.noAnswer(address);
    return bytes;
  },
};

/** `frame`, when set, is what the scratchpad holds instead of a temperature. */
world.probe = { celsius: 24, isAbsent: false, frame: undefined, convertedAt: -1, raw: 0x0550 };
world.probe.scratchpad = function () {
  if (world.probe.frame) return world.probe.frame;
  if (world.probe.convertedAt >= 0 && getTime() >= world.probe.convertedAt) {
    world.probe.raw = Math.floor(world.probe.celsius * 16) & 0xffff;
    world.probe.convertedAt = -1;
  }
  var bytes = [world.probe.raw & 255, world.probe.raw >> 8, 0x4b, 0x46, 0x7f, 0xff, 0x0c, 0x10];
  var crc = 0;
  for (var i = 0; i < 8; i++) {
    crc ^= bytes[i];
    for (var bit = 0; bit < 8; bit++) crc = crc & 1 ? (crc >> 1) ^ 0x8c : crc >> 1;
  }
  bytes.push(crc);
  return bytes;
};

var OneWire = function () {
  this.command = 0;
};
OneWire.prototype.reset = function () {
  this.command = 0;
  return !world.probe.isAbsent;
};
OneWire.prototype.skip = function () {};
OneWire.prototype.select = function () {};
OneWire.prototype.search = function () {
  return world.probe.isAbsent ? [] : ['28ff641e8316034d'];
};
OneWire.prototype.write = function (command) {
  this.command = command;
  if (command === 0x44) world.probe.convertedAt = getTime() + 0.75;
};
OneWire.prototype.read = function (count) {
  var bytes = new Uint8Array(count || 1);
  var scratchpad = world.probe.scratchpad();
  for (var i = 0; i < bytes.length; i++)
    bytes[i] = this.command === 0xbe && !world.probe.isAbsent ? scratchpad[i] : 0xff;
  return count ? bytes : bytes[0];
};
