import { describe, expect, it } from 'vitest';
import type { BathConnection, BathNetwork } from '@bathkeeper/firmware/bench';
import { bathRunning, keepingProgram, printedLines, startAtTheBath } from './board-program.js';

/** A peer that the test moves by hand. */
class HandPeer implements BathNetwork {
  answer: 'accepts' | 'refused' | 'unanswered' = 'accepts';
  received = '';
  isClosed = false;
  send: (text: string) => void = () => undefined;
  hangUp: () => void = () => undefined;

  connect(): BathConnection | 'refused' | 'unanswered' {
    if (this.answer !== 'accepts') return this.answer;
    return {
      write: (bytes) => {
        this.received += Buffer.from(bytes).toString('latin1');
      },
      close: () => {
        this.isClosed = true;
      },
      onBytes: (receive) => {
        this.send = (text) => {
          receive(Buffer.from(text, 'latin1'));
        };
      },
      onClose: (closed) => {
        this.hangUp = closed;
      },
    };
  }
}

const dialling = `
  var socket;
  function dial() {
    try {
      require('net').connect({ host: '127.0.0.1', port: 1883 }, function (connected) {
        socket = connected;
        print('connected');
        connected.on('data', function (bytes) { print('data', bytes.length); });
        connected.on('close', function () { print('closed'); });
        connected.write('hello');
      });
    } catch (fault) { print('refused after', Math.round((getTime() - dialledAt) * 10) / 10); }
  }
  var dialledAt = 0;
  setTimeout(function () { dialledAt = getTime(); dial(); }, 1000);
`;

describe('the sockets of the virtual board', () => {
  it('connects, and sends what a callback wrote when it has ended', () => {
    const peer = new HandPeer();
    const bath = bathRunning(dialling, { network: peer });
    bath.advance(2);
    expect(printedLines(bath)).toEqual(['connected']);
    expect(peer.received).toBe('hello');
  });

  it('delivers every byte in order, in chunks of at most 536', () => {
    const peer = new HandPeer();
    const program = `var all = '';${dialling.replace("print('data', bytes.length);", 'all += bytes; print(bytes.length);')}
      setTimeout(function () { print(all === E.toString(require('Storage').read('sent')) ? 'same' : 'other'); }, 5000);`;
    const bath = bathRunning(program, { network: peer });
    const sent = Array.from({ length: 300 }, (_, at) => `line ${String(at)};`).join('');
    bath.parts.storage.write('sent', sent);
    bath.advance(2);
    for (let at = 0; at < sent.length; at += 97) peer.send(sent.slice(at, at + 97));
    bath.advance(4);
    const lines = printedLines(bath);
    expect(lines.at(-1)).toBe('same');
    const lengths = lines.slice(1, -1).map(Number);
    expect(Math.max(...lengths)).toBeLessThanOrEqual(536);
    expect(lengths.reduce((sum, length) => sum + length, 0)).toBe(sent.length);
  });

  it('throws at once when dialling is refused', () => {
    const peer = new HandPeer();
    peer.answer = 'refused';
    const bath = bathRunning(dialling, { network: peer });
    bath.advance(2);
    expect(printedLines(bath)).toEqual(['refused after 0.1']);
  });

  it('blocks for 15 s when nobody answers: no callback runs, and the tank goes on', () => {
    const peer = new HandPeer();
    peer.answer = 'unanswered';
    const bath = bathRunning(
      `${keepingProgram(10)}setTimeout(function () { try { require('net').connect({ host: '127.0.0.1', port: 1883 }); } catch (fault) { print('gave up'); } }, 5500);
       setInterval(function () { print(Math.round(getTime())); }, 1000);`,
      { network: peer },
    );
    startAtTheBath(bath);
    bath.advance(20);
    const lines = printedLines(bath);
    expect(lines.slice(0, 5)).toEqual(['1', '2', '3', '4', '5']);
    expect(lines[5]).toBe('gave up');
    // The interval makes up for the fifteen it missed, all at 20.5 s.
    expect(lines.slice(6, 21)).toEqual(Array.from({ length: 15 }, () => '21'));
    expect(bath.truth.isContactorClosed).toBe(true);
    expect(bath.truth.chargeMilliCoulombs).toBeGreaterThan(19 * 10_000);
  });

  it('is still ahead of the caller after a blocked call, which then waits for nothing twice', () => {
    const peer = new HandPeer();
    peer.answer = 'unanswered';
    const bath = bathRunning(dialling, { network: peer });
    for (let second = 0; second < 10; second++) bath.advance(1);
    expect(bath.nightSeconds).toBeCloseTo(16, 1);
    for (let second = 0; second < 10; second++) bath.advance(1);
    expect(bath.nightSeconds).toBeCloseTo(20, 1);
  });

  it('lets the one-shot run out and the watchdog restart when dialling blocks again and again', () => {
    const peer = new HandPeer();
    peer.answer = 'unanswered';
    const bath = bathRunning(
      `${keepingProgram(10)}setTimeout(function () { for (var n = 0; n < 9; n++) try { require('net').connect({ host: '127.0.0.1', port: 1883 }); } catch (fault) {} }, 5000);`,
      { network: peer },
    );
    startAtTheBath(bath);
    bath.advance(60);
    expect(bath.contactorLog.at(-1)!.because).toBe('one-shot ran out: no control step for 20 s');
    expect(bath.bootLog[1]!.because).toBe('watchdog: no kick for its time');
  });

  it('loses debounced pulses whose both edges fall into a blocked call, and no edge of a watch without debounce', () => {
    const peer = new HandPeer();
    peer.answer = 'unanswered';
    const program = (debounce: number): string => `
      var pulses = 0, last = -1;
      digitalWrite(D25, 1);
      setWatch(function (edge) { if (edge.time - last > 0.1) pulses++; last = edge.time; }, D27, { repeat: true, edge: 'rising', debounce: ${String(debounce)} });
      setTimeout(function () { try { require('net').connect({ host: '127.0.0.1', port: 1883 }); } catch (fault) {} }, 20000);
      setTimeout(function () { print(pulses); }, 60000);
    `;
    const counted = (debounce: number): number => {
      const bath = bathRunning(program(debounce), { network: peer, tank: { pulsesPerMinute: 60 } });
      bath.advance(61);
      return Number(printedLines(bath)[0]) - bath.truth.rotationPulses;
    };
    // The shaft has gone on for a second since the count.
    expect(counted(0)).toBeGreaterThanOrEqual(-1);
    expect(counted(25)).toBeLessThan(counted(0));
  });

  it('tells the program when the peer hangs up, after the last byte', () => {
    const peer = new HandPeer();
    const bath = bathRunning(dialling, { network: peer });
    bath.advance(2);
    peer.send('bye');
    peer.hangUp();
    bath.advance(1);
    expect(printedLines(bath).at(-1)).toBe('closed');
    expect(printedLines(bath).filter((line) => line.startsWith('data'))).not.toEqual([]);
  });

  it('loses connections without a word when the network is lost, and the peer notices by its keep-alive', () => {
    const peer = new HandPeer();
    const bath = bathRunning(dialling, { network: peer });
    bath.advance(2);
    bath.injectFault('network-loss', 60);
    peer.send('lost');
    bath.advance(20);
    expect(printedLines(bath)).toEqual(['connected']);
    expect(peer.isClosed).toBe(false);
    bath.advance(5);
    expect(peer.isClosed).toBe(true);
  });

  it('closes its connections when the board restarts', () => {
    const peer = new HandPeer();
    const bath = bathRunning(dialling, { network: peer });
    bath.advance(2);
    bath.powerCut();
    expect(peer.isClosed).toBe(true);
  });

  it('refuses text that does not fit into bytes', () => {
    const peer = new HandPeer();
    const bath = bathRunning(dialling.replace("'hello'", "'20 \\u03a9'"), { network: peer });
    bath.advance(2);
    expect(bath.consoleText).toContain('does not fit into a byte');
    expect(peer.received).toBe('');
  });

  it('hears a sign of life on the port that it bound, and none while the network is lost', () => {
    const bath = bathRunning(
      "require('dgram').createSocket('udp4').bind(41883, function (bound) { bound.on('message', function (text, from) { print(text, from.size); }); });",
    );
    bath.advance(1);
    bath.deliverSignOfLife('{"v":1,"t":1}');
    bath.advance(1);
    bath.injectFault('network-loss', 10);
    bath.deliverSignOfLife('{"v":1,"t":2}');
    bath.advance(11);
    bath.deliverSignOfLife('{"v":1,"t":3}');
    bath.injectFault('host-vanish', 10);
    bath.deliverSignOfLife('{"v":1,"t":4}');
    bath.advance(1);
    expect(printedLines(bath)).toEqual(['{"v":1,"t":1} 13', '{"v":1,"t":3} 13', '{"v":1,"t":4} 13']);
  });
});
