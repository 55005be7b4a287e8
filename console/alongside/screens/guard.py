"""Guard of the watch: what fails inside a handler of the screen is shown on the screen and logged, and the
console lives on. Textual by itself ends the app at the first exception."""

import logging
from collections.abc import Callable
from functools import wraps
from typing import Concatenate, ParamSpec, Protocol, TypeVar, cast

log = logging.getLogger(__name__)

P = ParamSpec("P")


class TellsFaults(Protocol):
    def tell_fault(self, part: str, fault: Exception) -> None:
        """Show on the screen that a part failed."""


S = TypeVar("S", bound=TellsFaults)


def guarded(handler: Callable[Concatenate[S, P], None]) -> Callable[Concatenate[S, P], None]:
    """Return a handler whose faults are shown instead of ending the app."""

    @wraps(handler)
    def call(self: S, *args: P.args, **kwargs: P.kwargs) -> None:
        try:
            handler(self, *args, **kwargs)
        except Exception as fault:  # the reason of this module
            log.exception("%s failed", handler.__name__)
            self.tell_fault(handler.__name__.removeprefix("action_").replace("_", " ").strip(), fault)

    return cast(Callable[Concatenate[S, P], None], call)
