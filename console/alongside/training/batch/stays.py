"""Which stays of a batch are meant, and under which name each is kept.

Each is given in one of three ways: a stay file, whose log lies beside it under the same name (`quay.yaml`
with `quay.log` or `quay.log.gz`); `STAY=LOG`, a stay file and its log wherever they are; or a folder: every
stay file in it, not below it, that has its log beside it.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from alongside.errors import WrongInput

LOGS: Final = (".log", ".log.gz")
STAYS: Final = (".yaml", ".yml")


@dataclass(frozen=True, slots=True)
class Given:
    """A stay file and its log; `log` None: none lies beside it."""

    stay: Path
    log: Path | None


def without_log(arguments: Sequence[str]) -> tuple[Path, ...]:
    """Return the stay files of folders that are passed over, having no log beside them."""
    folders = [Path(argument) for argument in arguments if Path(argument).is_dir()]
    inside = (each for folder in folders for each in sorted(folder.iterdir()) if each.suffix in STAYS)
    return tuple(each for each in inside if beside(each) is None)


def stays_of(arguments: Sequence[str]) -> tuple[tuple[str, Given], ...]:
    """Return each stay once, with its name, in the order given, those of a folder by name. Raise WrongInput
    for a folder without any, and for two that would be kept under one name."""
    given = dict.fromkeys(each for argument in arguments for each in _given(argument))
    named: dict[str, Given] = {}
    for each in given:
        name = _name(each)
        folded = next((other for other in named if other.casefold() == name.casefold()), None)
        if folded is not None:
            raise WrongInput(
                f"{each.stay} and {named[folded].stay}: both would be kept as {name}, expected files of "
                "different names"
            )
        named[name] = each
    return tuple(named.items())


def _given(argument: str) -> Iterable[Given]:
    path = Path(argument)
    if path.is_dir():
        inside = [Given(each, beside(each)) for each in sorted(path.iterdir()) if each.suffix in STAYS]
        if not any(each.log for each in inside):
            raise WrongInput(
                f"{path}: no stay file with its log beside it, expected such as quay.yaml and quay.log.gz"
            )
        return [each for each in inside if each.log is not None]
    stay, equals, log = argument.partition("=")
    if equals and not path.exists():
        if not stay or not log:
            raise WrongInput(f"{argument}: expected STAY=LOG, a stay file and its log")
        return [Given(Path(stay), Path(log))]
    return [Given(path, beside(path))]


def beside(stay: Path) -> Path | None:
    """Return the log beside a stay file, the plain one where both are there; None where there is none."""
    base = stay.with_suffix("") if stay.suffix in STAYS else stay
    places = (base.with_name(base.name + end) for end in LOGS)
    return next((place for place in places if place.is_file()), None)


def _name(given: Given) -> str:
    """Return the name of the stay file, and that of the log where it is another."""
    stay = given.stay.stem if given.stay.suffix in STAYS else given.stay.name
    if given.log is None:
        return stay
    log = given.log.name
    for end in sorted(LOGS, key=len, reverse=True):
        log = log.removesuffix(end)
    return stay if log == stay else f"{stay}.{log}"
