"""Remarks on tensions at making fast: whether the fenders carry their pull, and what they leave over along
the berth."""

from collections.abc import Iterator
from dataclasses import replace
from math import isnan
from typing import Final

import numpy as np

from alongside.mechanics.arrangement import arrangement_of
from alongside.mechanics.settled_lengths import left_along, make_fast
from alongside.mechanics.situation import unknown_situation
from alongside.reports.remarks.afloat import Afloat
from alongside.reports.remarks.model import Remark
from alongside.stay.making_fast import MakingFast, makings_fast
from alongside.wording.figures import figure, percent

LEFT_ALONG: Final = 0.05
"""Of the pull along the berth: more than this left over moves her before the lines balance it."""


def making_fast_remarks(afloat: Afloat) -> Iterator[Remark]:
    for making in makings_fast(afloat.stay):
        if making.lies == "on_fenders":
            yield from _on_fenders(afloat, making)


def _on_fenders(afloat: Afloat, making: MakingFast) -> Iterator[Remark]:
    stay, arrangement = afloat.stay, arrangement_of(afloat.stay)
    lines = list(making.lines)
    last = max(lines, key=lambda index: stay.lines[index].made_fast.at)
    pose = afloat.pose
    values = [each[last] for each in (pose.tide, pose.draught_fwd, pose.draught_aft, pose.heel_deg)]
    if any(isnan(value) for value in values):
        return
    tide, fwd, aft, heel = (np.array([value]) for value in values)
    situation = replace(
        unknown_situation(np.array([making.at])), tide=tide, draught_fwd=fwd, draught_aft=aft, heel_deg=heel
    )
    settled = make_fast(stay, arrangement, making, situation, np.full(len(stay.lines), np.nan), lines)
    if not settled.settles:
        text = "no fender carries the pull of the stated tensions: lengths are for the ship just touching"
        yield Remark("lines", text)
        return
    load = np.full(len(stay.lines), np.nan)
    load[lines] = [stay.lines[index].made_fast.tension_kn for index in lines]
    left, pull = left_along(arrangement, settled.pose, load)
    if abs(left) > LEFT_ALONG * pull:
        way = "ahead" if left * arrangement.head > 0.0 else "astern"
        text = f"the stated tensions pull her {way} by {figure(abs(left))} kN more than they hold her back"
        share = percent(abs(left) / pull)
        yield Remark("lines", f"{text}, {share} of their pull along: she moves until they balance")
