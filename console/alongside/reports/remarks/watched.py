"""What a stay file leaves unwatched, and why."""

from collections.abc import Iterator

from alongside.forecast.decide_notes import not_given
from alongside.reports.remarks.afloat import Afloat
from alongside.reports.remarks.winches import not_tested
from alongside.stay.model import CoefficientRows
from alongside.wording.figures import listed


def not_watched(afloat: Afloat) -> Iterator[str]:
    """Yield what is not watched and which key is not given: `brakes of lines 4 and 5: no brake_kn`."""
    stay = afloat.stay
    channels = {source.channel for feed in stay.feeds for source in feed.channels}
    open_brakes = [
        line.id
        for line in stay.lines
        if line.winch is None
        or (stay.ship.winches[line.winch].holding_kn or stay.ship.winches[line.winch].automatic_kn) is None
    ]
    if open_brakes:
        yield f"brakes of {_lines(open_brakes)}: no winch with brake_kn"
    if untested := not_tested(stay):
        many = "es" if len(untested) > 1 else ""
        yield f"age of the brake {'tests' if many else 'test'} of {listed(untested)}: no tested"
    used = dict.fromkeys(line.bollard for line in stay.lines)
    unrated = [name for name in used if stay.berth.bollards[name].swl_kn is None]
    if unrated:
        yield f"load on {'bollard' if len(unrated) == 1 else 'bollards'} {listed(unrated)}: no swl_kn"
    if stay.berth.charted_depth is None:
        yield "under-keel clearance: no berth.charted_depth"
    if not stay.balance:
        yield "drift, fenders, wind: balance is off, the ship is held in place"
    elif not stay.berth.fenders:
        yield "drift, fenders, wind: no berth.fenders, the ship is held in place"
    if stay.ship.wind is None:
        yield "what wind the lines hold: no ship.wind"
    elif missing := [name for name in ("wind_speed", "wind_from") if name not in channels]:
        yield f"wind: no {'channel' if len(missing) == 1 else 'channels'} {listed(missing)}"
    elif stay.ship.gm is None or not stay.ship.hydrostatics:
        yield "the list that a wind gives: no ship.gm, or no ship.hydrostatics"
    if stay.ship.current is None or not (stay.current or "current_speed" in channels):
        yield "current: no ship.current, or neither a plan nor a channel of it"
    elif _turns_nothing(stay.ship.current.coefficients):
        yield "turning by the current: cn is 0 throughout ship.current.coefficients"
    if stay.tide is None:
        yield "the hours ahead, a lost tide gauge: no tide table or constituents"
    if not stay.cargo and not stay.ship.hydrostatics:
        yield "draughts to come: no cargo plan and no ship.hydrostatics"
    for channel, name in (
        ("tide", "tide"),
        ("draught_fwd", "draught forward"),
        ("draught_aft", "draught aft"),
    ):
        if channel not in channels:
            yield f"{name}: no channel {channel}, to be read by hand"
    if not any(channel.startswith("tension.") for channel in channels):
        yield "measured loads: no load cells"
    if stay.decide is not None:
        holds = stay.balance and bool(stay.berth.fenders) and stay.ship.wind is not None
        yield from (f"to decide by: {words}" for words in not_given(stay.decide, holds))
    yield from _beside(afloat)
    if stay.outlook.gangway is None:
        yield "gangway: no outlook.gangway"
    elif stay.outlook.gangway.length is None:
        yield "slope of the gangway: no outlook.gangway.length"


def _beside(afloat: Afloat) -> Iterator[str]:
    for name, ship in afloat.stay.beside.items():
        if ship.lies == "inside":
            yield f"movement of {name}: she lies inside, her place is taken as fixed"
            continue
        yield f"what holds {name} to her: lines between both bear no wind of hers in any figure"
        if ship.wind is None:
            yield f"wind on {name}: no beside.{name}.wind"
        if ship.current is None and afloat.stay.ship.current is not None:
            yield f"current on {name}: no beside.{name}.current"


def _turns_nothing(coefficients: str | CoefficientRows) -> bool:
    """Return whether a table of one's own gives no moment from any side."""
    return not isinstance(coefficients, str) and not any(row[3] for row in coefficients)


def _lines(ids: list[str]) -> str:
    return f"line {ids[0]}" if len(ids) == 1 else f"lines {listed(ids)}"
