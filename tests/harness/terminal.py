"""Runs a program on a terminal of COLUMNS columns until it has shown a text, presses Ctrl-C, and prints all it wrote.

Arguments: the text, the program and its arguments. Ends with the program's exit code.
"""
import fcntl
import os
import pty
import struct
import sys
import termios

wanted, program = sys.argv[1].encode(), sys.argv[2:]
child, terminal = pty.fork()
if child == 0:
    fcntl.ioctl(0, termios.TIOCSWINSZ, struct.pack("HHHH", 24, int(os.environ["COLUMNS"]), 0, 0))
    os.execv(program[0], program)
shown, pressed = b"", False
while True:
    try:
        octets = os.read(terminal, 4096)
    except OSError:  # Linux says so when the other end is closed.
        octets = b""
    if not octets:
        break
    shown += octets
    if wanted in shown and not pressed:
        os.write(terminal, b"\x03")
        pressed = True
sys.stdout.buffer.write(shown)
_, status = os.waitpid(child, 0)
sys.exit(os.waitstatus_to_exitcode(status))
