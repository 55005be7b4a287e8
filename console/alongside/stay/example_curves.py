"""The example curves of ropes that ship with the program."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Final

from alongside.errors import Fault, StayFaults
from alongside.stay.curves import ROPE_CURVE
from alongside.stay.document import read_document
from alongside.stay.fields import TEXT, Field, by_shape, choice, known, named
from alongside.stay.model import CurveRows, RopeKind
from alongside.stay.nodes import Node
from alongside.stay.records import record, required

EXAMPLES: Final = Path(__file__).parent / "data" / "ropes.yaml"

KIND: Final = choice("synthetic", "wire")


@dataclass(frozen=True, slots=True)
class ExampleCurve:
    """A curve that ships with the program or was made of what is known, how far to trust it, and the band of
    stiffness that goes with it, None for the usual one."""

    kind: RopeKind
    curve: CurveRows
    source: str
    grade: str
    band: float | None = None


EXAMPLE: Final = record(
    ExampleCurve,
    kind=required(KIND),
    source=required(TEXT),
    grade=required(choice("read", "practice", "memory")),
    curve=required(ROPE_CURVE),
)


@cache
def example_curves() -> Mapping[str, ExampleCurve]:
    """The example curves by name."""
    faults: list[Fault] = []
    examples = named(EXAMPLE, least=1).read(read_document(EXAMPLES, faults))
    if faults:
        raise StayFaults(faults)
    return examples


def _example(node: Node) -> ExampleCurve:
    examples = example_curves()
    name = known(examples, "example curve").read(node)
    return examples.get(name, ExampleCurve("synthetic", (), "", ""))


def _own(rows: CurveRows) -> ExampleCurve:
    return ExampleCurve("synthetic", rows, "", "")


CURVE: Final = by_shape(Field("the name of an example curve", _example), ROPE_CURVE.then(_own))
