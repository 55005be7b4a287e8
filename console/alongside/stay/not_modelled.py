"""What a stay file may ask for that is not calculated: refused at once, and in words."""

from typing import Any, Final

from alongside.stay.fields import Field, choice
from alongside.stay.nodes import Node, shown

SIDES: Final = choice("starboard", "port")
ENDS_ON: Final = ("stern", "stern_to", "stern-to", "bow", "bow_to", "bow-to", "med", "mediterranean")


def _read_side(node: Node) -> str:
    if node.word not in ENDS_ON:
        return SIDES.read(node)
    node.fault(
        f"{shown(node.word)}: a ship that lies end on, with anchors, is not calculated",
        "starboard or port, the side she lies with alongside",
    )
    return "starboard"


SIDE: Final = Field(SIDES.expected, _read_side)


def _refuse_anchors(node: Node) -> None:
    node.fault(
        "anchors and chains are not calculated, nor a ship that hangs on them",
        "lines to bollards or buoys alone; do not use this program for her",
    )


ANCHORS: Final[Field[Any]] = Field("none", _refuse_anchors)
