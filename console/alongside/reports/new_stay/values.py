"""One figure, name or choice as it is typed, read by the fields that read it in a stay file."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final, TypeVar

import yaml

from alongside.errors import Fault
from alongside.stay.estimates import SPREAD as SPREAD_EXPECTED
from alongside.stay.estimates import WIDEST
from alongside.stay.fields import Field
from alongside.stay.nodes import Node
from alongside.wording.safe import safe

T = TypeVar("T")

NONE: Final = "-"
"""What is typed for a figure that is not known."""
BY_EYE: Final = "estimated by the officer"
BY_EYE_SPREAD: Final = 0.20
"""Part by which a figure with `~` before it may be off, where nothing is said; common practice, no source."""
_GUESSED: Final = re.compile(r"~(?P<value>[^/]+)(/(?P<spread>\d{1,2}(\.\d+)?)%?)?")


class Refused(Exception):
    """An answer is none: in one row where, what, and what was expected."""


@dataclass(frozen=True, slots=True)
class Value:
    """A figure: `number` in the unit of the stay file, `text` as the file has it, a guess with its `spread`,
    a part of it, and `source`."""

    number: float
    text: str
    spread: float = 0.0
    source: str = ""

    def in_file(self) -> str:
        """Return what stands in the stay file."""
        if not self.spread:
            return self.text
        return f"{{guess: {self.text}, source: {quoted(self.source)}, spread: {self.spread * 100.0:g} %}}"

    def moved(self, by: float) -> "Value":
        """Return the figure with so much added, sure."""
        return Value(self.number + by, f"{self.number + by:.7g}")


Row = Mapping[str, Value | str]
"""What one answer says, by the names of its figures; what is not known is left out."""


def number_of(row: Row, name: str, otherwise: float = float("nan")) -> float:
    """Return a figure of a row as a number."""
    value = row.get(name)
    return value.number if isinstance(value, Value) else otherwise


def word_of(row: Row, name: str) -> str:
    """Return a name or choice of a row; "" where it is not given."""
    value = row.get(name, "")
    return value if isinstance(value, str) else value.text


def read_field(field: Field[T], text: str, what: str) -> T:
    """Return what a text means to a field of the stay file. Raise Refused in its words."""
    faults: list[Fault] = []
    mark = yaml.Mark("", 0, 0, 0, None, 0)
    value = field.read(Node(yaml.ScalarNode("", text, mark, mark), "", what, faults))
    if faults:
        raise Refused(f"{what}: {faults[0].problem}")
    return value


def read_number(field: Field[float], text: str, what: str, source: str = BY_EYE) -> Value:
    """Return a figure, with `~` before it a guess: `~2600`, `~2600/30%`. Raise Refused where it is none."""
    guessed = _GUESSED.fullmatch(text)
    if guessed is None:
        return Value(read_field(field, text, what), text)
    spread = float(guessed["spread"]) / 100.0 if guessed["spread"] else BY_EYE_SPREAD
    if not 0.0 < spread <= WIDEST:
        raise Refused(f"{what}: {safe(text)} has no spread, expected {SPREAD_EXPECTED}")
    number = read_field(field, guessed["value"], what)
    for end in (1.0 - spread, 1.0 + spread):
        read_field(field, f"{number * end:.7g}", f"{what}, an end of its spread")
    return Value(number, guessed["value"], spread, source)


def quoted(text: Any) -> str:
    """Return a text as YAML has it in double quotes."""
    return '"' + str(text).replace("\\", "\\\\").replace('"', '\\"') + '"'


def as_key(name: str) -> str:
    """Return a name of the user's own as a key or a word of YAML: quoted where it could be taken for more."""
    return name if re.fullmatch(r"[A-Za-z_][A-Za-z0-9_.+-]*", name) else quoted(name)
