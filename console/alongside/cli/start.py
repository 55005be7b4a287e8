"""The command `alongside` from its first moment to its last: interrupted, it ends in one sentence.

This file asks for as little as it can of what has to be loaded: before it can heed a signal, Python would end
in a trace.
"""

import os

INTERRUPTED = 130
"""Exit status of what was interrupted."""
SAID = "Interrupted: no file is half written"

_status = INTERRUPTED
"""With which an interrupt ends it at once."""


def start() -> int:
    """Run the command that is given and return its exit status. An interrupt while its parts are loaded ends
    it at once, since nothing is written yet; so does one after its end, with the status that it has."""
    global _status
    try:
        import signal

        for name in ("SIGINT", "SIGTERM", "SIGHUP"):
            number = getattr(signal, name, None)
            if number and signal.getsignal(number) in (signal.SIG_DFL, signal.default_int_handler):
                signal.signal(number, end_at_once)
    except KeyboardInterrupt:
        end_at_once()
    from alongside.cli.main import main

    _status = main()
    return _status


def end_at_once(*_: object) -> None:
    """End the process, as a signal asks for. Raised from here, an interrupt could be lost: what loads modules
    and what makes classes drops it, or makes another error of it."""
    try:
        if _status == INTERRUPTED:
            os.write(2, f"{SAID}\n".encode())
    finally:
        os._exit(_status)
