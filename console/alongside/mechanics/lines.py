"""The state of every line: geometry, stretch, load and its three components, at n instants."""

from typing import Final

import numpy as np

from alongside.mechanics.arrangement import Arrangement
from alongside.mechanics.automatic import length_left
from alongside.mechanics.bights import shared
from alongside.mechanics.geometry import Leads, horizontal_deg, leads_of, vertical_deg
from alongside.mechanics.sag import Chords, hanging
from alongside.mechanics.series import Pull, pull
from alongside.mechanics.state import LineStates, Pose
from alongside.readings import Floats

ROWS_AT_ONCE: Final = 1024
"""Instants worked at a time, so that all between stays in the processor's cache; changes no digit."""


def line_states(arrangement: Arrangement, pose: Pose, unstretched: Floats) -> LineStates:
    """Return the state of all lines at n poses.

    `unstretched` is the main ropes' unstretched length, m, (lines,) or (n, lines), NaN for a line that is
    not made fast: its lead is given all the same, its load is NaN. Where the pose is not known all of the
    instant is NaN but `unstretched_m`.
    """
    n, lines = pose.tide.size, len(arrangement.ids)
    length = known_length(unstretched, n)
    found = {name: np.empty((n, lines)) for name in LineStates.__dataclass_fields__}
    for start in range(0, n, ROWS_AT_ONCE):
        rows = slice(start, start + ROWS_AT_ONCE)
        block = states_of(arrangement, leads_of(arrangement, rows_of(pose, rows)), columns_of(length, rows))
        for name, values in found.items():
            values[rows] = getattr(block, name).T
    return LineStates(**found)


def states_of(arrangement: Arrangement, leads: Leads, length: Floats) -> LineStates:
    """Return the states with arrays lines first, (lines, n); `length` (lines, 1) or (lines, n), NaN or above
    0. Automatic
    winches have done their work: the length is what they leave."""
    own_length = length_left(arrangement, leads, length)
    length = shared(arrangement.partners, own_length)
    loaded = pull(arrangement.series, sagging_path(arrangement, leads, length), length)
    total = length + arrangement.tail_length[:, None]
    per_metre = pull_per_metre(loaded, leads)
    return LineStates(
        vertical_deg=vertical_deg(leads),
        horizontal_deg=horizontal_deg(leads),
        outboard_m=leads.outboard,
        path_m=leads.path,
        unstretched_m=np.broadcast_to(own_length, leads.path.shape),
        elongation_pct=(leads.path - total) / total * 100.0,
        stretch_share=stretch_share(arrangement, loaded),
        load_share=loaded.tension / arrangement.smallest_wll_kn[:, None],
        tension_kn=loaded.tension,
        ahead_kn=per_metre * leads.ahead,
        in_kn=per_metre * leads.in_,
        down_kn=per_metre * -leads.z,
    )


def sagging_path(arrangement: Arrangement, leads: Leads, length: Floats) -> Floats:
    """Return the paths (lines, n), m, that lines take as they sag: straight where no weight is given."""
    if not arrangement.weights.any:
        return leads.path

    def straight(path: Floats) -> tuple[Floats, Floats]:
        loaded = pull(arrangement.series, path, length)
        return loaded.tension, loaded.stiffness

    weight = arrangement.weights.along(leads.outboard)
    path, _, _ = hanging(straight, Chords(leads.path, leads.outboard, leads.level, weight))
    return path


def pull_per_metre(loaded: Pull, leads: Leads) -> Floats:
    """Return the tension by outboard length, kN/m: times a lead's component it is that component of the pull.
    NaN for a line whose fairlead stands on its bollard, for it pulls in no direction."""
    somewhere = leads.outboard > 0.0
    per_metre: Floats = np.where(somewhere, loaded.tension, np.nan) / np.where(somewhere, leads.outboard, 1.0)
    return per_metre


def stretch_share(arrangement: Arrangement, loaded: Pull) -> Floats:
    """Return (lines, n) the larger of both parts' elongation by their allowance; 0 when slack."""
    main_pct, tail_pct = parts_pct(arrangement, loaded)
    main_allowed, tail_allowed = arrangement.allowance_pct.T[:, :, None]
    main_share = main_pct / main_allowed
    tail_share = np.where(np.isnan(tail_allowed), 0.0, tail_pct / tail_allowed)
    larger: Floats = np.maximum(main_share, tail_share)
    return larger


def parts_pct(arrangement: Arrangement, loaded: Pull) -> tuple[Floats, Floats]:
    """Return (lines, n) the elongation of main rope and tail in per cent, tail NaN where there is none."""
    tail_length = np.where(arrangement.tail_length > 0.0, arrangement.tail_length, np.nan)[:, None]
    return loaded.main_strain * 100.0, loaded.tail_stretch / tail_length * 100.0


def known_length(unstretched: Floats, n: int) -> Floats:
    """Return `unstretched` (lines,) or (n, lines) as (1, lines) or (n, lines), NaN where it is not above 0;
    raise ValueError for another number of instants."""
    length = np.atleast_2d(unstretched)
    if length.shape[0] not in (1, n):
        raise ValueError(f"unstretched lengths for {length.shape[0]} instants, expected 1 or {n}")
    return np.where(length > 0.0, length, np.nan)


def columns_of(length: Floats, rows: slice) -> Floats:
    """Return lengths lines first, at the instants asked for; one column where the lengths are constant."""
    return np.ascontiguousarray(length.T if length.shape[0] == 1 else length[rows].T)


def rows_of(pose: Pose, rows: slice) -> Pose:
    """Return the poses of some instants, as views."""
    return Pose(**{name: getattr(pose, name)[rows] for name in Pose.__dataclass_fields__})
