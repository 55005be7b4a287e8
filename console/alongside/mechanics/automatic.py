"""Automatic winches: between recovery and rendering load they stand, beyond them the length changes.

A line that would carry more than the rendering load is paid out until it carries that; one that would carry
less than the recovery load is heaved in until it carries that. So for a path the length lies between that
which gives the one and that which gives the other, and stays as it is while it is between them: what was paid
out at high water is still out as the water falls.
"""

from typing import Final

import numpy as np

from alongside.mechanics.arrangement import Arrangement
from alongside.mechanics.geometry import Leads, horizontal_deg, leads_of
from alongside.mechanics.making_fast import strains_at
from alongside.mechanics.sag import Chords
from alongside.mechanics.state import Pose
from alongside.readings import Floats

SQUARE_DEG: Final = 30.0
"""Off square a line counts as one along the berth. Common practice, no source."""
STEP_M: Final = 0.01
"""By which the length of an automatic winch has changed before it counts as another one. Between two such
steps what is in force follows to the last digit; what is remembered is less than a step off."""


def first_work(arrangement: Arrangement, before: Floats, lengths: Floats) -> int | None:
    """Return the first of n instants by which an automatic winch has worked; None where none has. `before`
    (lines,) m is what was out, `lengths` (n, lines) what it leaves."""
    if arrangement.automatic is None:
        return None
    worked = (np.abs(lengths - before) > STEP_M).any(axis=1)
    return int(worked.argmax()) if worked.any() else None


def set_by_hand(arrangement: Arrangement, lengths: Floats) -> Floats:
    """Return lengths (…, lines) m with NaN for lines on automatic, whose changes nobody made."""
    if arrangement.automatic is None:
        return lengths
    return np.where(np.isnan(arrangement.automatic[0]), lengths, np.nan)


def opposed(arrangement: Arrangement, pose: Pose) -> tuple[list[str], list[str]]:
    """Return the lines on automatic that lead ahead and those that lead astern, more than 30 deg from square
    at the first of n poses, where there are some of either; they let her creep along the berth."""
    if arrangement.automatic is None:
        return [], []
    lead = horizontal_deg(leads_of(arrangement, pose))[:, 0]
    works = ~np.isnan(arrangement.automatic[0])
    ahead, astern = works & (lead < 90.0 - SQUARE_DEG), works & (lead > 90.0 + SQUARE_DEG)
    if not ahead.any() or not astern.any():
        return [], []
    ids = np.array(arrangement.ids)
    return ids[ahead].tolist(), ids[astern].tolist()


def length_left(arrangement: Arrangement, leads: Leads, length: Floats) -> Floats:
    """Return the lengths of main rope, m (lines, n), that lines of `length` (lines, 1) or (lines, n) have
    along these leads once automatic winches have done their work; NaN stays NaN."""
    if arrangement.automatic is None:
        return length
    low, high = arrangement.automatic
    longest, shortest = (_length_at(arrangement, leads, each) for each in (low, high))
    left = np.fmax(np.fmin(length, longest), shortest)
    return np.where(np.isnan(length) | ~(left > 0.0), length, left)


def _length_at(arrangement: Arrangement, leads: Leads, tension_kn: Floats) -> Floats:
    """Return the length with which each line carries its tension (lines,), NaN for lines without one."""
    main, tail = (strain[0][:, None] for strain in strains_at(arrangement, tension_kn[None, :]))
    path = leads.path
    if arrangement.weights.any:
        weight = arrangement.weights.along(leads.outboard)
        chords = Chords(leads.path, leads.outboard, leads.level, weight)
        path = path + chords.longer(np.broadcast_to(np.nan_to_num(tension_kn)[:, None], path.shape))[0]
    length: Floats = (path - arrangement.tail_length[:, None] * (1.0 + tail)) / (1.0 + main)
    return length
