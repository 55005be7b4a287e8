"""Section `limits:`, from where on each cause is a caution, a warning, an alarm.

A cause that is given replaces its default whole; the others keep theirs.
"""

import math
from itertools import pairwise
from typing import Final

from alongside.stay.fields import Check, Field, number
from alongside.stay.model import Limits, StageLimits
from alongside.stay.nodes import Node
from alongside.stay.records import optional, record

STAGES: Final = ("caution", "warning", "alarm")


def _worsening(sense: int) -> Check:
    """Each stage must be worse than the milder ones that are given: more for sense +1, less for -1."""
    word = "more" if sense > 0 else "less"

    def check(node: Node, limits: StageLimits) -> None:
        given = [(stage, getattr(limits, stage)) for stage in STAGES if stage in node]
        if not given:
            node.fault("no stage given", "caution, warning or alarm")
        for (milder, bound), (stage, value) in pairwise(given):
            if sense * (value - bound) <= 0:
                node[stage].fault(f"{value:g} is not worse than {milder}", f"{word} than {bound:g}")

    return check


def _stages(value: Field[float], sense: int = 1) -> Field[StageLimits]:
    """`sense` +1 where more is worse, -1 where less is."""
    return record(
        StageLimits,
        _worsening(sense),
        caution=optional(value),
        warning=optional(value),
        alarm=optional(value),
    )


ANGLE: Final = number("deg", above=0, most=90)
SHARE: Final = number(above=0, most=math.inf)

LIMITS: Final = record(
    Limits,
    steep_deg=optional(_stages(ANGLE)),
    stretch_share=optional(_stages(SHARE)),
    load_share=optional(_stages(SHARE)),
    slack_share=optional(_stages(number(least=0, below=1), sense=-1)),
    brake_share=optional(_stages(SHARE)),
    bollard_share=optional(_stages(SHARE)),
    under_keel_m=optional(_stages(number("m", least=0), sense=-1)),
    surge_m=optional(_stages(number("m", above=0))),
    sway_m=optional(_stages(number("m", above=0))),
    surge_range_m=optional(_stages(number("m", above=0))),
    sway_range_m=optional(_stages(number("m", above=0))),
    yaw_range_deg=optional(_stages(number("deg", above=0, most=90))),
    off_fenders_m=optional(_stages(number("m", above=0))),
    holding_share=optional(_stages(SHARE)),
    tension_share=optional(_stages(SHARE)),
)
