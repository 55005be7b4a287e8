"""Libraries that only some commands need, and that are therefore extras of the package."""

from importlib.util import find_spec

from alongside.errors import WrongInput


def need(command: str, extra: str, *modules: str) -> None:
    """Raise WrongInput, in one line, where a library that the command needs is not installed."""
    missing = [module for module in modules if find_spec(module) is None]
    if missing:
        libraries = " and ".join(missing)
        raise WrongInput(
            f"alongside {command}: {libraries} not installed, expected the extra {extra!r}: "
            f"pip install 'alongside[{extra}]'"
        )
