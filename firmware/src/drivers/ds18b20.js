/*
 * DS18B20 temperature probe (Analog Devices / Maxim data sheet), alone on its 1-Wire bus. Read by the control loop; one
 * conversion a second, the bus is touched only then. What is not certainly a temperature is a fault, never a number:
 * the power-on value 85.0, a frame of zeros (which passes the check sum), no presence, a wrong check sum.
 *
 *   DQ with 4.7 kOhm to 3.3 V, three wires, in a closed glass or PTFE sleeve
 */
import { ProbeFault } from '@bathkeeper/shared-core/control';
const CONVERT = 0x44;
const READ_SCRATCHPAD = 0xbe;
const SCRATCHPAD_BYTES = 9;
/** 750 ms for 12 bits (data sheet, table 2), rounded up to the next of the loop's steps. */
const CONVERSION_MS = 900;
const POWER_ON_RAW = 0x0550;
/** Outside these an acid copper bath is not: common practice, no source. */
const CELSIUS_MIN = -10;
const CELSIUS_MAX = 100;
/** CRC-8, x8 + x5 + x4 + 1 reflected, by half bytes. */
const CRC_OF_NIBBLE = [0x00, 0x9d, 0x23, 0xbe, 0x46, 0xdb, 0x65, 0xf8, 0x8c, 0x11, 0xaf, 0x32, 0xca, 0x57, 0xe9, 0x74];
/**
 * Check byte of the first `count` bytes (Maxim application note 27).
 * Example: 02 1C B8 01 00 00 00 gives A2.
 */
export function dallasCrc(bytes, count) {
    let crc = 0;
    for (let i = 0; i < count; i++) {
        crc ^= bytes[i];
        crc = (crc >> 4) ^ CRC_OF_NIBBLE[crc & 15];
        crc = (crc >> 4) ^ CRC_OF_NIBBLE[crc & 15];
    }
    return crc;
}
/** The temperature register in sixteenths of a degree, signed. Example: 91 01 is 401, that is 25.0625 C. */
export function temperatureRaw(scratchpad) {
    const raw = scratchpad[1] * 256 + scratchpad[0];
    return raw > 32767 ? raw - 65536 : raw;
}
/** What is wrong with nine bytes read from the scratchpad; none when they are a temperature. */
export function scratchpadFault(scratchpad) {
    let anyBit = 0;
    for (let i = 0; i < SCRATCHPAD_BYTES; i++)
        anyBit |= scratchpad[i];
    if (!anyBit || dallasCrc(scratchpad, 8) !== scratchpad[8])
        return ProbeFault.checksum;
    const raw = temperatureRaw(scratchpad);
    if (raw === POWER_ON_RAW)
        return ProbeFault.powerOnValue;
    return raw < CELSIUS_MIN * 16 || raw > CELSIUS_MAX * 16 ? ProbeFault.impossible : ProbeFault.none;
}
export function temperatureProbe(bus, offsetCelsius) {
    let startedMs = -CONVERSION_MS;
    let isConverting = false;
    /** False when nobody answered the reset. */
    const send = function (command) {
        if (!bus.reset())
            return false;
        bus.skip();
        bus.write(command);
        return true;
    };
    return {
        read: function (inputs, nowMs) {
            if (nowMs - startedMs < CONVERSION_MS)
                return;
            inputs.probeFault = ProbeFault.absent;
            if (isConverting && send(READ_SCRATCHPAD)) {
                const scratchpad = bus.read(SCRATCHPAD_BYTES);
                inputs.probeFault = scratchpadFault(scratchpad);
                if (!inputs.probeFault)
                    inputs.bathCelsius = temperatureRaw(scratchpad) / 16 + offsetCelsius;
            }
            isConverting = send(CONVERT);
            startedMs = nowMs;
        },
    };
}
//# sourceMappingURL=ds18b20.js.map