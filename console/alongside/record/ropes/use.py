"""The use of each rope and tail in one record."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from math import inf, nan

import numpy as np

from alongside.alerts.measures import HANGS_SLACK
from alongside.errors import WrongInput
from alongside.readings import Floats
from alongside.record.entries import Run
from alongside.record.opening import stood_s
from alongside.record.reader import RecordReader
from alongside.record.ropes.on_deck import OnDeck, on_deck
from alongside.record.ropes.parts import Part, parts_of
from alongside.record.ropes.turning import RIPPLE, turning_points, without_ripple
from alongside.record.states import States
from alongside.stay.model import Stay

Key = tuple[Part, float]
"""A part, and when its line was made fast; where the watch put it into the line, when it did."""
Loads = tuple[Floats, Floats]
"""Time and tension, (n,) each."""


@dataclass(frozen=True, slots=True, eq=False)
class Use:
    """One part in one line, as long as that line was made fast as the stay file says (`fast_at`; of a new
    rope when the watch put it into the line), by one record. Times are UNIX seconds, lengths of time
    seconds."""

    part: Part
    fast_at: float
    since: float
    """When the record begins to know of it."""
    until: float
    """When the record ends, or from when on the part was no longer in that line: let go, parted, another."""
    known_s: float
    """Time with its load on record."""
    above_wll_s: float
    peak_kn: float
    peak_at: float
    turns: Floats
    """Turning points of its load, kN, without cycles too small to count."""
    carried_s: float = 0.0
    """Time with more load than a line has that hangs slack."""
    slips: tuple[float, ...] = ()
    """When its winch brake slipped, as answered; of main ropes only."""
    parted_at: float = nan
    """When its line parted, whether rope or tail; NaN where it did not."""


def uses_in(record: RecordReader) -> list[Use]:
    """Return every use in a record. Raises WrongInput for one that is still empty."""
    span, runs = record.span(), record.runs()
    if span is None:
        raise WrongInput(f"{record.folder}: nothing on record yet, expected a stay that was watched")
    deck = on_deck(event for _, event in record.events())
    parts = _parts(runs)
    spans = _spans(runs, parts, span[1], deck)
    loads = _loads(record, runs, parts, spans)
    return [_with_deck(use_of(part, at, *spans[part, at], *loads[part, at]), deck) for part, at in spans]


def _with_deck(use: Use, deck: OnDeck) -> Use:
    """Return a use with what befell its line in it."""
    line, is_main = use.part.line, use.part.what == "main"
    slips = tuple(at for at in deck.slipped.get(line, ()) if use.since <= at <= use.until and is_main)
    parted = next((at for at in deck.parted.get(line, ()) if use.since <= at <= use.until), nan)
    return replace(use, slips=slips, parted_at=parted)


def _parts(runs: Sequence[Run]) -> list[list[Key]]:
    """Return the parts of each run. A new rope that got its serial number later has it from when it came into
    its line on, and one whose number was wrong the one that was said last."""
    parts = [[(part, *_since(run.stay, part)) for part in parts_of(run.stay)] for run in runs]
    last = {(part.line, at): part.key for of_run in parts for part, at, is_new in of_run if is_new}
    return [
        [(replace(part, key=last[part.line, at]) if is_new else part, at) for part, at, is_new in of_run]
        for of_run in parts
    ]


def _since(stay: Stay, part: Part) -> tuple[float, bool]:
    """Return when the line of a part was made fast; of a new main rope when it came into the line, and that
    it is one."""
    line = next(each for each in stay.lines if each.id == part.line)
    since = line.rope_since if part.what == "main" else None
    return (line.made_fast.at, False) if since is None else (since, True)


def _spans(
    runs: Sequence[Run], parts: Sequence[Sequence[Key]], end: float, deck: OnDeck
) -> dict[Key, tuple[float, float]]:
    """When each part came into its line as made fast then, and when it left, by the runs that had it so and
    by what was entered of lines that parted or were let go."""
    spans: dict[Key, tuple[float, float]] = {}
    ends = [*(later.started for later in runs[1:]), end]
    for run, of_run, over in zip(runs, parts, ends, strict=True):
        for part, fast_at in of_run:
            since = spans.get((part, fast_at), (max(run.started, fast_at), over))[0]
            if fast_at < over:
                spans[part, fast_at] = (since, over)
    # Made fast again before the stay file had it: the earlier use ends with the later making fast.
    for (part, fast_at), (since, over) in spans.items():
        anew = [at for other, at in spans if other.key == part.key and at > fast_at]
        until = min([over, *anew])
        spans[part, fast_at] = (since, min(until, deck.left(part.line, since, until)))
    return spans


def _loads(
    record: RecordReader,
    runs: Sequence[Run],
    parts: Sequence[Sequence[Key]],
    spans: Mapping[Key, tuple[float, float]],
) -> dict[Key, Loads]:
    """Times and loads of each use: those of its line in the states of the runs that had it so."""
    pieces: dict[Key, list[Loads]] = {key: [(np.zeros(0), np.zeros(0))] for key in spans}
    for states in record.states():
        at = next(at for at, run in enumerate(runs) if run.stay == states.stay)
        for key in parts[at]:
            if key in pieces:
                pieces[key].append((states.time, _tension(states, key[0].line, key[1], spans[key][1])))
    return {
        key: (np.concatenate([time for time, _ in loads]), np.concatenate([load for _, load in loads]))
        for key, loads in pieces.items()
    }


def _tension(states: States, line: str, since: float, until: float) -> Floats:
    fast = (states.time >= since) & (states.time <= until)
    return np.where(fast, states.numbers(f"tension_kn.{line}"), np.nan)


def use_of(part: Part, fast_at: float, since: float, until: float, time: Floats, load: Floats) -> Use:
    """Return the use of a part by the loads of its line: `time` (n,) in order, even or not, `load` (n,) kN,
    NaN where not known. Each load counts for as long as it stood; peaks and turning points do not last."""
    stands, known = stood_s(time), np.isfinite(load)
    peak = int(np.argmax(np.where(known, load, -inf))) if known.any() else None
    return Use(
        part,
        fast_at,
        since,
        until,
        known_s=float(stands[known].sum()),
        above_wll_s=float(stands[known & (load > part.wll_kn)].sum()),
        peak_kn=nan if peak is None else float(load[peak]),
        peak_at=nan if peak is None else float(time[peak]),
        turns=without_ripple(turning_points(load), RIPPLE * part.rope.mbl_kn),
        carried_s=float(stands[known & (load > HANGS_SLACK * part.wll_kn)].sum()),
    )
