"""End a call where the console that made it is gone: run as a program of its own, it knows nothing of the
package.

Standard input is a pipe from the console. Its first line is the process group of the call; after that comes
nothing until the console closes the pipe, or is killed and the system closes it. A call that ended in order
is none of its business: the console ends this program before it lets the group go.
"""

import os
import signal
import sys
from contextlib import suppress


def end_with(pipe: int) -> None:
    """Wait until the other end of the pipe is closed, then end the process group that was named on it."""
    named = b""
    while more := os.read(pipe, 64):
        named += more
    if named.strip():
        with suppress(ProcessLookupError, PermissionError):
            os.killpg(int(named), signal.SIGKILL)


if __name__ == "__main__":
    end_with(sys.stdin.fileno())
