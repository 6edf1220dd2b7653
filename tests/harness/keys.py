"""Runs a program on a terminal and types what it is told to, each once the program has shown the text it waits for.

Arguments: a JSON list of [the text, what is then typed], the program and its arguments. Typed octet by octet, as fast as the
terminal takes them: a scanner is no slower. Instead of what is typed may stand {"columns": n, "rows": m}: the terminal is
then of that size. It begins with COLUMNS columns and LINES rows. Prints all that was written; ends with the program's code.
"""
import fcntl
import json
import os
import pty
import struct
import sys
import termios


def resize(terminal, columns, rows):
    fcntl.ioctl(terminal, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))


script, program = json.loads(sys.argv[1]), sys.argv[2:]
child, terminal = pty.fork()
if child == 0:
    resize(0, int(os.environ.pop("COLUMNS")), int(os.environ.pop("LINES", "24")))
    os.execv(program[0], program)
shown, seen = b"", 0
while True:
    while script and script[0][0].encode() in shown[seen:]:
        wanted, does = script.pop(0)
        seen = shown.index(wanted.encode(), seen) + len(wanted.encode())
        if isinstance(does, dict):
            resize(terminal, does["columns"], does["rows"])
        else:
            for octet in does.encode():
                os.write(terminal, bytes([octet]))
    try:
        octets = os.read(terminal, 4096)
    except OSError:  # Linux says so when the other end is closed.
        octets = b""
    if not octets:
        break
    shown += octets
sys.stdout.buffer.write(shown)
_, status = os.waitpid(child, 0)
sys.exit(os.waitstatus_to_exitcode(status))
