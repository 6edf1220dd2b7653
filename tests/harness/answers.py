"""Runs a program on a terminal of 100 columns, answers its questions, and prints all it wrote.

Arguments: a JSON list of [what it asks, the answer], the program and its arguments. An answer of null presses Ctrl-C.
Ends with the program's exit code, or 128 and the signal that ended it; with 142 where that takes too long.
"""
import fcntl
import json
import os
import pty
import select
import signal
import struct
import sys
import termios

questions, program = json.loads(sys.argv[1]), sys.argv[2:]
child, terminal = pty.fork()
if child == 0:
    fcntl.ioctl(0, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 100, 0, 0))
    os.execv(program[0], program)
signal.alarm(120)
shown, seen = b"", 0


def reads_keys():
    """Whether the program reads single keys by now: a return typed sooner would reach it as another key."""
    return not termios.tcgetattr(terminal)[3] & termios.ICANON


while True:
    try:
        octets = os.read(terminal, 4096)
    except OSError:  # Linux says so when the other end is closed.
        octets = b""
    if not octets:
        break
    shown += octets
    while questions and questions[0][0].encode() in shown[seen:]:
        _, answer = questions.pop(0)
        seen = len(shown)
        while not reads_keys():
            select.select([], [], [], 0.01)
        os.write(terminal, b"\x03" if answer is None else answer.encode() + b"\r")
sys.stdout.buffer.write(shown)
_, status = os.waitpid(child, 0)
code = os.waitstatus_to_exitcode(status)
sys.exit(code if code >= 0 else 128 - code)
