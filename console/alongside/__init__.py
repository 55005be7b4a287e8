"""alongside: keeps watch over a moored ship's lines through a port stay.

For scripts: `from alongside import read_stay, hold, holding_power, look_ahead, what_if, replay, read_record`,
and the errors `WrongInput`, `StayFaults`. Each is imported when it is first asked for.
"""

from __future__ import annotations

TYPE_CHECKING = False  # what is imported here is imported before an interrupt can be heeded: nothing

if TYPE_CHECKING:
    from typing import Any, Final

    from alongside.errors import StayFaults, WrongInput
    from alongside.runtime.history import read_record, replay
    from alongside.runtime.questions import hold, holding_power, look_ahead, what_if
    from alongside.stay.read import read_stay

__version__ = "0.1.0"

__all__ = [
    "StayFaults",
    "WrongInput",
    "hold",
    "holding_power",
    "look_ahead",
    "read_record",
    "read_stay",
    "replay",
    "what_if",
]

_HOMES: Final = {
    "StayFaults": "alongside.errors",
    "WrongInput": "alongside.errors",
    "hold": "alongside.runtime.questions",
    "holding_power": "alongside.runtime.questions",
    "look_ahead": "alongside.runtime.questions",
    "read_record": "alongside.runtime.history",
    "read_stay": "alongside.stay.read",
    "replay": "alongside.runtime.history",
    "what_if": "alongside.runtime.questions",
}


def __getattr__(name: str) -> Any:
    """Return one of the names above, from the module in which it is at home (PEP 562)."""
    if name not in _HOMES:
        raise AttributeError(f"module 'alongside' has no attribute {name!r}")
    from importlib import import_module

    return getattr(import_module(_HOMES[name]), name)


def __dir__() -> list[str]:
    return [*globals(), *__all__]
