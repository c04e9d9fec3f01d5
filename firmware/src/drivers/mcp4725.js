const ADDRESS = 0x60;
const FULL_SCALE = 4095;
const CHECK_MS = 1000;
/** Code for a current, rounded down; 0 for no current and for anything that is not a current. Example: 18.4 A at 100 a code is 1840. */
export function setPointCode(amps, supply) {
    if (!(amps > 0))
        return 0;
    // A hundred-millionth against binary fractions: 0.29 x 100 is 28.999999999999996.
    const code = Math.floor(supply.codeAtZero + amps * supply.codesPerAmp + 1e-8);
    return code > 0 ? Math.min(code, FULL_SCALE) : 0;
}
export function setPointOutput(bus, supply) {
    let isAnswering = false;
    let checkedMs = -CHECK_MS;
    return {
        answers: function () {
            return isAnswering;
        },
        write: function (amps, nowMs) {
            const code = setPointCode(amps, supply);
            try {
                bus.writeTo(ADDRESS, code >> 8, code & 255);
                if (nowMs - checkedMs >= CHECK_MS) {
                    checkedMs = nowMs;
                    const bytes = bus.readFrom(ADDRESS, 3);
                    isAnswering = bytes[1] * 16 + (bytes[2] >> 4) === code;
                }
            }
            catch (_) {
                // No answer is an operating fault: no start without a set-point; in a run the measured current is judged.
                isAnswering = false;
            }
        },
    };
}
//# sourceMappingURL=mcp4725.js.map