#!/usr/bin/env python3
# The real interpreter at the other end of a serial port: makes a pair of pseudo-terminals, runs the interpreter on one, prints the other's
# path, and carries bytes between them until it is ended. Node.js has no pseudo-terminals of its own. Called by flash-in-interpreter.test.ts
# with the interpreter's path; its Storage is a file in the folder it is started in.
import os
import pty
import select
import subprocess
import sys
import termios
import tty

outer, port = pty.openpty()
inner, console = pty.openpty()
tty.setraw(port)
settings = termios.tcgetattr(console)
tty.setraw(console)


def write_all(target, data):
    while data:
        data = data[os.write(target, data):]


board = subprocess.Popen([sys.argv[1]], stdin=console, stdout=console, stderr=console, close_fds=True)
os.close(console)
print(os.ttyname(port), flush=True)
try:
    while board.poll() is None:
        for source in select.select([outer, inner, sys.stdin], [], [], 0.2)[0]:
            if source is sys.stdin:
                # The test closed it: over.
                sys.exit(0)
            data = os.read(source, 4096)
            if source == inner:
                sys.stderr.buffer.write(data)
                sys.stderr.flush()
            write_all(inner if source == outer else outer, data)
finally:
    board.kill()
