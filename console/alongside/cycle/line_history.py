"""The lines through a block: lengths and loads of all lines from its first instant to its last.

Lengths change at instants only: by the stay file, or by what the watch enters. Between two such
instants all lengths are constant, but for those of the state in which brakes slip (`brakes`).
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import nan

import numpy as np

from alongside.actions import Action, AnswerBrake
from alongside.alerts.model import Event
from alongside.alerts.over_brake import OverBrake
from alongside.cycle.brakes.answers import answered
from alongside.cycle.brakes.by_load_cell import Cells, first_answer, with_agreements
from alongside.cycle.brakes.loads_seen import Flags, LoadsSeen
from alongside.cycle.brakes.two_states import BothStates, SlippedState, both_states
from alongside.cycle.deck.altered import altered_stay
from alongside.cycle.deck.by_hand import Changed, brakes_touched, done_by_hand, in_both_states
from alongside.cycle.lengths import Lengths, apply_changes, changes_due
from alongside.cycle.line_known import with_reasons
from alongside.cycle.settled_cells import changed_since
from alongside.mechanics.arrangement import Arrangement, arrangement_of
from alongside.mechanics.automatic import first_work
from alongside.mechanics.hold import stacked
from alongside.mechanics.situation import Situation
from alongside.mechanics.state import Hold
from alongside.readings import Floats
from alongside.stay.model import Stay


@dataclass(frozen=True, slots=True)
class LineHistory:
    """The lengths that a block ended with, its events, and how lines and fenders held at each instant; and
    the same if brakes in question slipped, None where none was in question in the block."""

    lengths: Lengths
    events: tuple[Event, ...]
    hold: Hold
    slipped: SlippedState | None = None


def line_history(
    stay: Stay,
    arrangement: Arrangement,
    lengths: Lengths,
    situation: Situation,
    actions: Sequence[Action],
    running: bool,
    misled: Flags | None = None,
    cells: Cells | None = None,
    changed_at: Floats | None = None,
    stay_file: Stay | None = None,
) -> LineHistory:
    """Return the lines through n instants. `actions` take effect at the first; `running` says that there were
    instants before, so that a line made fast now is news. `misled` (n,): where a reading that loads rest on
    is wrong by another witness, None for nowhere; `cells` what the load cells measure, None where they are
    not asked; `changed_at` (lines,) UNIX seconds at which each length last changed before; `stay_file` the
    stay without shifted lines, None where `stay` is that."""
    n, lines = len(situation), len(stay.lines)
    misled = np.zeros(n, dtype=bool) if misled is None else misled
    cells = Cells.none(n, lines) if cells is None else cells
    changed_at = np.full(lines, -np.inf) if changed_at is None else changed_at
    events: tuple[Event, ...] = ()
    parts: list[BothStates] = []
    first, was = situation.rows(0, 1), lengths.unstretched
    if actions:
        lengths, events = _by_file(stay, arrangement, lengths, first, running)
        deck_before, as_written = lengths.deck, stay_file or stay
        lengths, changed = done_by_hand(as_written, arrangement, lengths, first, actions)
        if lengths.deck != deck_before:
            stay = altered_stay(as_written, lengths.deck)
            arrangement = arrangement_of(stay)
        events += changed
    # What was done by hand may let more, or less, of the stay file be due: only now are its times asked for.
    edges = sorted({0, *changes_due(stay, lengths, situation), len(situation)})
    for start, stop in pairwise(edges):
        here = situation.rows(start, start + 1)
        lengths, changed = _by_file(stay, arrangement, lengths, here, running or start > 0)
        events += changed
        changed_at = changed_since(changed_at, was, lengths.unstretched, float(here.time[0]))
        stretch = situation.rows(start, stop), misled[start:stop], cells.rows(start, stop)
        lengths, changed_at, through, changed = _stretch_of(stay, arrangement, lengths, changed_at, *stretch)
        events += changed
        parts += through
        was = lengths.unstretched
    lengths = replace(lengths, untold=(), good_since=nan)
    return LineHistory(lengths, events, stacked([part.held for part in parts]), _stacked_slipped(parts))


def _by_file(
    stay: Stay, arrangement: Arrangement, lengths: Lengths, here: Situation, running: bool
) -> Changed:
    """Make fast and tend what the stay file says at one instant, in both states. A line set to a tension has
    a known length in either, so nothing is asked of its brake any more; what a brake held before it was set
    again proves nothing."""
    after, events = in_both_states(lengths, lambda one: apply_changes(stay, arrangement, one, here, running))
    moved = after.unstretched != lengths.unstretched
    touched = {line.id for line, is_moved in zip(stay.lines, moved, strict=True) if is_moved}
    to_tension = touched & _set_to_a_tension(stay, lengths, after)
    after, more = brakes_touched(after, touched, to_tension, float(here.time[0]))
    return after, events + more


def _set_to_a_tension(stay: Stay, before: Lengths, after: Lengths) -> set[str]:
    """Return the lines that were made fast, or tended to a tension, by the stay file."""
    lines = set()
    for at, line in enumerate(stay.lines):
        tended = line.tended[before.tended[at] : after.tended[at]]
        if after.fast[at] != before.fast[at] or any(each.to_tension_kn is not None for each in tended):
            lines.add(line.id)
    return lines


def _with_reasons(stay: Stay, lengths: Lengths, part: BothStates, time: Floats) -> BothStates:
    """Return both states of a stretch with why lines without a length have none."""
    held = with_reasons(stay, lengths, part.held, time)
    if part.slipped is None:
        return replace(part, held=held)
    return replace(
        part,
        held=held,
        slipped=replace(part.slipped, hold=replace(part.slipped.hold, no_length=held.no_length)),
    )


def _stacked_slipped(parts: Sequence[BothStates]) -> SlippedState | None:
    """Return several parts of the slipped state as one; where none was in question it is the held one."""
    if all(part.slipped is None for part in parts):
        return None
    whole = []
    for part in parts:
        nothing = np.full(part.held.lines.tension_kn.shape, np.nan)
        whole.append(part.slipped or SlippedState(part.held, OverBrake(nothing, nothing, nothing > 0.0)))
    return SlippedState(
        stacked([each.hold for each in whole]),
        OverBrake(
            np.concatenate([each.over.ran_out_m for each in whole]),
            np.concatenate([each.over.most_kn for each in whole]),
            np.concatenate([each.over.or_more for each in whole if each.over.or_more is not None]),
        ),
    )


def _stretch_of(
    stay: Stay,
    arrangement: Arrangement,
    lengths: Lengths,
    changed_at: Floats,
    situation: Situation,
    misled: Flags,
    cells: Cells,
) -> tuple[Lengths, Floats, list[BothStates], tuple[Event, ...]]:
    """Return lengths, when each last changed, both states and events through a stretch in which nobody
    touches the lines: a load cell may answer for a brake, and then the rest goes on with the length that it
    gives; so it does once automatic winches have worked."""
    parts: list[BothStates] = []
    events: list[Event] = []
    row, most, ids = 0, len(situation), arrangement.ids
    while row < len(situation):
        stop = min(row + most, len(situation))
        piece, seen = situation.rows(row, stop), cells.rows(row, stop)
        loads = LoadsSeen(seen.counted_kn(piece.time, changed_at), seen.misled, misled[row:stop])
        both = both_states(arrangement, lengths.unstretched, lengths.brakes, piece, loads)
        answer = first_answer(both, seen, ids, piece.time)
        works = first_work(arrangement, lengths.unstretched, both.held.lines.unstretched_m)
        at = len(piece) - 1 if answer is None else answer.row
        if works is not None and (answer is None or works < answer.row):
            answer, at = None, works
        brakes = both.brakes_at(at, ids, piece.time)
        if answer is None:
            brakes = with_agreements(brakes, both, seen, ids, piece.time, at)
            done = both.rows(0, at + 1)
            parts.append(_with_reasons(stay, lengths, done, piece.time[: at + 1]))
            if works is not None:
                lengths = replace(lengths, unstretched=done.held.lines.unstretched_m[-1].copy())
            lengths = replace(lengths, brakes=brakes)
            # While winches work the next rows are taken few at a time; each piece without doubles the next.
            row, most = row + at + 1, 2 * most if works is None else 1
            continue
        if at:
            parts.append(_with_reasons(stay, lengths, both.rows(0, at), piece.time[:at]))
        action = AnswerBrake(answer.line, "slipped" if answer.state == "slipped" else "held")
        load = float(seen.measured_kn[at, ids.index(answer.line)])
        now = float(piece.time[at])
        after = answered(stay, arrangement, lengths.unstretched, brakes, action, now, load)
        changed_at = changed_since(changed_at, lengths.unstretched, after.unstretched, now)
        lengths = replace(lengths, unstretched=after.unstretched, brakes=after.brakes)
        events.append(after.event)
        row += at
    return lengths, changed_at, parts, tuple(events)
