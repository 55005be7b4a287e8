"""Mistakes of substance that an officer makes in a stay file, and the remark that each must get; none for
files that are right."""

from pathlib import Path
from typing import Final

import pytest

from alongside.errors import Fault, StayFaults
from alongside.reports.remarks.afloat import Afloat
from alongside.reports.remarks.all import placed, remarks_of
from alongside.reports.remarks.watched import not_watched
from tests.reports.remarks.files import Change, Data, drop, later, put, put_by, swapped, times, written

FAST: Final = ("lines", "*", "made_fast")


def add(metres: float, *path: str | int) -> Change:
    return put_by(lambda text: f"{float(text) + metres:g}", *path)


def mirrored(*path: str | int) -> Change:
    return times(-1.0, *path)


def many_lines(data: Data) -> None:
    first = data["lines"]
    data["lines"] = [{**first[i % len(first)], "id": f"n{i}"} for i in range(505)]
    for line in data["lines"]:
        line.pop("winch", None)
        line.pop("tended", None)
    data.pop("simulate", None)


def x_from_stem(data: Data) -> None:
    for table in ("fairleads", "winches"):
        for at in data["ship"][table].values():
            at["x"] = f"{float(data['ship']['lbp']) - float(at['x']):g}"


def tide_in_feet(data: Data) -> None:
    data["tide"]["high_low"] = [[when, f"{float(h) / 0.3048:.2f}"] for when, h in data["tide"]["high_low"]]


def tide_six_hours_late(data: Data) -> None:
    del data["tide"]["high_low"][-1]
    heights = [h for _, h in data["tide"]["high_low"]]
    data["tide"]["high_low"] = [
        [when, h] for (when, _), h in zip(data["tide"]["high_low"], heights[1:], strict=False)
    ]


def table_of_the_old_year(data: Data) -> None:
    del data["tide"]["high_low"][6:]


def no_low_water(data: Data) -> None:
    del data["tide"]["high_low"][3:8]


def lcf_from_midships(data: Data) -> None:
    half = float(data["ship"]["lbp"]) / 2.0
    for row in data["ship"]["hydrostatics"]:
        row["lcf"] = f"{float(row['lcf']) - half:g}"


def curve_fractions(data: Data) -> None:
    for rope in data["ropes"].values():
        rope["curve"] = [[f"{float(e) / 100:g}", f] for e, f in rope["curve"]]


def curve_percent_load(data: Data) -> None:
    for rope in data["ropes"].values():
        rope["curve"] = [[e, f"{float(f) / 100:g}"] for e, f in rope["curve"]]


def same_bollard_place(data: Data) -> None:
    data["berth"]["bollards"]["H1"] = dict(data["berth"]["bollards"]["H2"])


def bollards_x_and_y_exchanged(data: Data) -> None:
    for at in data["berth"]["bollards"].values():
        at["x"], at["y"] = at["y"], at["x"]


def line_of_another_winch(data: Data) -> None:
    data["lines"][0]["winch"] = data["lines"][-1]["winch"]


def cyrillic_id(data: Data) -> None:
    data["lines"][0]["id"] = "А"
    data["lines"][1]["id"] = "A"


def ids_by_case(data: Data) -> None:
    data["lines"][0]["id"] = "a"
    data["lines"][1]["id"] = "A"


def bollard_far_aft(data: Data) -> None:
    data["lines"][4]["bollard"] = data["lines"][-1]["bollard"]


def nobody_tends(data: Data) -> None:
    for line in data["lines"]:
        line.pop("tended", None)


def one_day_late(data: Data) -> None:
    later(1.0, "lines", 2, "made_fast", "at")(data)
    data["lines"][2].pop("tended", None)


MISTAKES: Final[dict[str, tuple[str, str, tuple[Change, ...]]]] = {
    # name: (example, path of the remark, changes)
    "fairleads on the far side": ("coal_berth", "lines", (mirrored("ship", "fairleads", "*", "y"),)),
    "alongside the other way, port": ("product_jetty", "lines", (put("starboard", "alongside"),)),
    "bollards in the water": ("coal_berth", "berth.bollards", (mirrored("berth", "bollards", "*", "y"),)),
    "bollards x and y exchanged": ("coal_berth", "lines", (bollards_x_and_y_exchanged,)),
    "fairlead above the deck": ("coal_berth", "ship.fairleads", (times(1.6, "ship", "fairleads", "*", "z"),)),
    "fairlead below the keel": (
        "coal_berth",
        "ship.fairleads.F1",
        (put("-2.0", "ship", "fairleads", "F1", "z"),),
    ),
    "fairleads from the deck": ("coal_berth", "ship.fairleads", (add(-16.0, "ship", "fairleads", "*", "z"),)),
    "fairlead outside the hull": (
        "coal_berth",
        "ship.fairleads.F4",
        (put("-24.2", "ship", "fairleads", "F4", "y"),),
    ),
    "breast that leads astern": ("coal_berth", "lines[4].role", (bollard_far_aft,)),
    "all lines are heads": ("coal_berth", "lines", (put("head", "lines", "*", "role"),)),
    "a spring called breast": ("coaster_quay", "lines[2].role", (put("breast", "lines", 2, "role"),)),
    "x from the stem": ("coal_berth", "lines", (x_from_stem,)),
    "draughts exchanged": (
        "coaster_quay",
        "lines",
        (put("4.60", *FAST, "draught_fwd"), put("3.20", *FAST, "draught_aft")),
    ),
    "marks exchanged": ("coal_berth", "ship.marks", (swapped("fwd", "aft", "ship", "marks"),)),
    "lcf from midships": ("coal_berth", "ship.hydrostatics", (lcf_from_midships,)),
    "a kilometre off": ("coal_berth", "berth.bollards", (add(1000.0, "berth", "bollards", "*", "x"),)),
    "tension in tonnes": ("coal_berth", "lines", (times(1 / 9.81, *FAST, "tension_kn"),)),
    "tension in newtons": ("coaster_quay", "lines", (times(1000.0, *FAST, "tension_kn"),)),
    "mbl in tonnes": ("coaster_quay", "ropes", (times(1 / 9.81, "ropes", "*", "mbl_kn"),)),
    "mbl in newtons": ("coaster_quay", "ropes", (times(1000.0, "ropes", "*", "mbl_kn"),)),
    "swl in tonnes": ("coal_berth", "berth.bollards", (times(1 / 9.81, "berth", "bollards", "*", "swl_kn"),)),
    "swl in newtons": ("coal_berth", "berth.bollards", (times(1000.0, "berth", "bollards", "*", "swl_kn"),)),
    "brakes in tonnes": (
        "coal_berth",
        "ship.winches",
        (times(1 / 9.81, "ship", "winches", "*", "brake_kn"),),
    ),
    "brakes in newtons": ("coal_berth", "ship.winches", (times(1000.0, "ship", "winches", "*", "brake_kn"),)),
    "curve in fractions": ("coal_berth", "ropes", (curve_fractions,)),
    "curve loads in per cent of per cent": ("coal_berth", "ropes", (curve_percent_load,)),
    "elongation at break taken for half": (
        "coaster_quay",
        "ropes",
        (
            put_by(lambda _t: "45", "ropes", "polyprop_40", "curve", 5, 0),
            put_by(lambda _t: "50", "ropes", "polyprop_40", "curve", 6, 0),
            put_by(lambda _t: "60", "ropes", "polyprop_40", "curve", 7, 0),
        ),
    ),
    "allowance as a fraction": (
        "coaster_quay",
        "ropes",
        (put("0.10", "ropes", "polyprop_40", "allowance_percent"),),
    ),
    "allowance beyond the break": (
        "coaster_quay",
        "ropes",
        (put("25", "ropes", "polyprop_40", "allowance_percent"),),
    ),
    "working limit as MBL": ("coaster_quay", "ropes", (put("0.95", "ropes", "polyprop_40", "wll_fraction"),)),
    "stretch limits in per cent": (
        "coal_berth",
        "limits.stretch_share",
        (
            put("70", "limits", "stretch_share", "caution"),
            put("85", "limits", "stretch_share", "warning"),
            put("100", "limits", "stretch_share", "alarm"),
        ),
    ),
    "windage ten times off": ("coal_berth", "ship.wind.side_m2", (times(0.1, "ship", "wind", "side_m2"),)),
    "front area ten times off": (
        "coal_berth",
        "ship.wind.front_m2",
        (times(10.0, "ship", "wind", "front_m2"),),
    ),
    "areas exchanged": ("coal_berth", "ship.wind", (swapped("front_m2", "side_m2", "ship", "wind"),)),
    "centroid from midships": (
        "coal_berth",
        "ship.wind.side_centroid_x",
        (put("-4.0", "ship", "wind", "side_centroid_x"),),
    ),
    "tail weaker than its line": ("coal_berth", "lines", (put("400", "ropes", "nylon_tail", "mbl_kn"),)),
    "tail longer than the path": ("coal_berth", "lines", (put("60", "lines", 3, "tail", "length"),)),
    "tail reaches inboard": ("coal_berth", "lines[3].tail", (put("14", "lines", 3, "tail", "length"),)),
    "tide table in feet": ("coaster_quay", "", (tide_in_feet,)),
    "tide table that ends within the stay": ("coaster_quay", "tide.high_low", (table_of_the_old_year,)),
    "high and low waters exchanged": ("coal_berth", "lines", (tide_six_hours_late,)),
    "waters missing": ("coal_berth", "tide.high_low", (no_low_water,)),
    "made fast a year ahead": (
        "coal_berth",
        "lines",
        (later(365.0, *FAST, "at"), drop("simulate"), nobody_tends),
    ),
    "one line a day late": ("coal_berth", "lines[2].made_fast.at", (one_day_late,)),
    "made fast at a tide the table does not have": ("coal_berth", "lines", (put("4.80", *FAST, "tide"),)),
    "depth under the draught": ("coal_berth", "berth.charted_depth", (put("6.0", "berth", "charted_depth"),)),
    "depth in feet": ("product_jetty", "berth.charted_depth", (times(10.0, "berth", "charted_depth"),)),
    "draught more than depth": (
        "coaster_quay",
        "lines",
        (put("26.0", *FAST, "draught_fwd"), put("33.0", *FAST, "draught_aft")),
    ),
    "ids that differ in case": ("coaster_quay", "lines[1].id", (ids_by_case,)),
    "ids that look alike": ("coaster_quay", "lines[1].id", (cyrillic_id,)),
    "too many lines": ("coaster_quay", "lines", (many_lines,)),
    "a bollard twice": ("coal_berth", "berth.bollards", (same_bollard_place,)),
    "winch at the other end": ("coal_berth", "lines[0].winch", (line_of_another_winch,)),
    "one drum for two lines": ("coal_berth", "lines[1].winch", (put("W1", "lines", 1, "winch"),)),
    "fender beyond the ship": ("coal_berth", "berth.fenders[0]", (put("-160", "berth", "fenders", 0, "x"),)),
    "fender in tonnes a millimetre": (
        "coaster_quay",
        "berth.fenders",
        (times(0.01, "berth", "fenders", "*", "stiffness_kn_per_m"),),
    ),
    "bollards under water": ("coal_berth", "berth.bollards", (add(-5.5, "berth", "bollards", "*", "z"),)),
    "displacement is deadweight": (
        "coal_berth",
        "ship.hydrostatics",
        (times(0.4, "ship", "hydrostatics", "*", "displacement"),),
    ),
    "tpc in tonnes a metre": (
        "coal_berth",
        "ship.hydrostatics",
        (times(100.0, "ship", "hydrostatics", "*", "tpc"),),
    ),
    "loading instead of discharging": ("coal_berth", "cargo", (times(-1.0, "cargo", "*", "tonnes"),)),
    "current across the quay": (
        "product_jetty",
        "current",
        (add(90.0, "current", "*", "to_deg"), times(1.0, "current", 1, "speed_kn")),
    ),
    "a gauge's range without her draught": (
        "coal_berth",
        "feeds[0].channels.draught_fwd",
        (put("7.0", "feeds", 0, "channels", "draught_fwd", "range", 1),),
    ),
    "two feeds on one device": (
        "coal_berth",
        "feeds[1].port",
        (put("serial:/dev/ttyUSB0?baud=9600", "feeds", 1, "port"),),
    ),
    "two feeds on one UDP port": (
        "coal_berth",
        "feeds[1].port",
        (
            put("udp:10110?from=10.0.0.5", "feeds", 0, "port"),
            put("udp:10110?from=10.0.0.6&on=10.0.0.1", "feeds", 1, "port"),
        ),
    ),
    "two feeds on one port for calls": (
        "coal_berth",
        "feeds[1].port",
        (put("tcp-in:4001", "feeds", 0, "port"), put("tcp-in:0.0.0.0:4001", "feeds", 1, "port")),
    ),
    "a port that anybody may call": (
        "coal_berth",
        "feeds[1].port",
        (put("tcp-in:192.168.1.5:4001", "feeds", 1, "port"),),
    ),
    "draught forward copied to aft": (
        "coal_berth",
        "feeds[0].channels.draught_",
        (put("DRFD", "feeds", 0, "channels", "draught_aft", "name"),),
    ),
    "a gauge's range without high water": (
        "coal_berth",
        "feeds[0].channels.tide.range",
        (put("4.0", "feeds", 0, "channels", "tide", "range", 1),),
    ),
    "a silent gauge believed for days": (
        "coal_berth",
        "feeds[0].channels.tide.lost_s",
        (times(1000.0, "feeds", 0, "channels", "tide", "lost_s"),),
    ),
    "a mean over half an hour": (
        "coal_berth",
        "feeds[0].channels.tide.smooth_s",
        (times(10.0, "feeds", 0, "channels", "tide", "smooth_s"),),
    ),
    "paid out in centimetres": (
        "coal_berth",
        "lines[3].tended[0].paid_out",
        (times(100.0, "lines", 3, "tended", 0, "paid_out"),),
    ),
    "twelve degrees of list": ("coal_berth", "lines[0].made_fast.heel_deg", (put("12", *FAST, "heel_deg"),)),
    "a point missing in the current": (
        "product_jetty",
        "current[1]",
        (times(20.0, "current", 1, "speed_kn"),),
    ),
    "cargo a year early": (
        "coal_berth",
        "cargo[0].start",
        (later(-365.0, "cargo", "*", "start"), drop("simulate")),
    ),
    "length and breadth exchanged": ("coaster_quay", "ship", (put("30.0", "ship", "breadth"),)),
    "depth is the draught": ("coal_berth", "ship.depth", (put("6.0", "ship", "depth"),)),
}


REFUSED: Final = {
    "fairlead below the keel",
    "fairlead outside the hull",
    "marks exchanged",
    "tension in newtons",
    "waters missing",
    "displacement is deadweight",
    "tpc in tonnes a metre",
}
"""Mistakes that are faults: nothing runs on such a file."""


def complaints(folder: Path, example: str, *changes: Change) -> tuple[Fault, ...]:
    """The remarks on a changed example; its faults where it is refused."""
    try:
        return placed(written(folder, example, *changes))
    except StayFaults as refused:
        return refused.faults


@pytest.mark.slow
@pytest.mark.parametrize("name", MISTAKES)
def test_a_mistake_is_remarked_at_its_place(name: str, tmp_path: Path) -> None:
    example, path, changes = MISTAKES[name]
    given = complaints(tmp_path, example, *changes)
    assert any(each.path.startswith(path) for each in given), [str(each) for each in given]
    for each in given:
        assert each.problem.startswith("remark: ") != (name in REFUSED)
        assert each.line > 1 or each.column > 1, "it stands somewhere"
        assert "nan" not in each.problem


def calm_dock(data: Data) -> None:
    data["tide"] = {"constituents": [{"name": "M2", "amplitude": "0.0", "lag_deg": "0"}], "mean_level": "2.0"}
    data.pop("simulate", None)
    for line in data["lines"]:
        line["made_fast"]["tide"] = "2.0"


def stern_buoy(data: Data) -> None:
    data["berth"]["bollards"]["buoy"] = {"x": "-60", "y": "30", "z": "6.0"}
    data["lines"][-1]["bollard"] = "buoy"


def halved(data: Data) -> None:
    """Half of the lines are made fast, the others stay on board."""
    data["lines"] = data["lines"][::2]


def own_ports(data: Data) -> None:
    """One number, but two addresses of this computer."""
    for feed, address in zip(data.get("feeds", ()), ("10.0.0.1", "10.0.0.2"), strict=False):
        feed["port"] = f"udp:10110?on={address}"


def nothing_optional(data: Data) -> None:
    of_the_plan = ("tide", "cargo", "current", "decide", "wind_forecast")
    for key in (*of_the_plan, "feeds", "simulate", "limits", "outlook", "holding", "gear"):
        data.pop(key, None)
    for key in ("wind", "current", "hydrostatics"):
        data["ship"].pop(key, None)
    data["berth"].pop("charted_depth", None)


RIGHT: Final[dict[str, Change]] = {
    "as it stands": lambda _data: None,
    "with nothing optional": nothing_optional,
    "by the head a little": add(0.3, *FAST, "draught_fwd"),
    "some weather at making fast": add(0.4, *FAST, "tide"),
    "tight lines": times(1.8, *FAST, "tension_kn"),
    "slack lines": times(0.4, *FAST, "tension_kn"),
    "a dock": calm_dock,
    "one port on two addresses": own_ports,
    "fewer lines": halved,
    "stiff fenders": times(5.0, "berth", "fenders", "*", "stiffness_kn_per_m"),
    "a stronger rope": times(1.25, "ropes", "*", "mbl_kn"),
}


@pytest.mark.slow
@pytest.mark.parametrize("example", ["coal_berth", "coaster_quay", "product_jetty"])
@pytest.mark.parametrize("name", RIGHT)
def test_a_right_file_gets_no_remark(example: str, name: str, tmp_path: Path) -> None:
    stay = written(tmp_path, example, RIGHT[name])
    # Lines taken away without their opposites leave tensions that do pull her along: that remark is right.
    unpaired = name == "fewer lines"
    assert not [str(each) for each in remarks_of(stay) if not (unpaired and "tensions pull her" in each.text)]


def test_tensions_that_pull_her_along_are_remarked(tmp_path: Path) -> None:
    """Two of four springs three times as tight as those against them."""
    tight = (times(3.0, "lines", 5, *FAST[2:], "tension_kn"), times(3.0, "lines", 6, *FAST[2:], "tension_kn"))
    stay = written(tmp_path, "coal_berth", *tight)
    (remark,) = remarks_of(stay)
    assert remark.path == "lines"
    assert "the stated tensions pull her astern by 2" in remark.text
    assert "% of their pull along: she moves until they balance" in remark.text
    in_place = written(tmp_path, "coal_berth", *tight, put("false", "settled"))
    assert not remarks_of(in_place)


def bollards_off_the_berth(data: Data) -> None:
    for bollard in data["berth"]["bollards"].values():
        bollard["y"] = "90.0"


def test_a_pull_that_no_fender_carries_is_remarked(tmp_path: Path) -> None:
    texts = [remark.text for remark in remarks_of(written(tmp_path, "coal_berth", bollards_off_the_berth))]
    assert any("no fender carries the pull of the stated tensions" in text for text in texts)


@pytest.mark.slow
def test_what_is_not_watched_is_named_with_its_key(tmp_path: Path) -> None:
    rows = list(not_watched(Afloat(written(tmp_path, "coal_berth", nothing_optional))))
    for what in (
        "under-keel clearance: no berth.charted_depth",
        "no ship.wind",
        "no tide table",
        "no channel tide",
    ):
        assert any(what in row for row in rows), what
    assert not any("fenders" in row for row in rows), "the berth has some"
    rows = list(
        not_watched(Afloat(written(tmp_path, "coal_berth", drop("feeds", 1, "channels", "wind_from"))))
    )
    assert "wind: no channel wind_from" in rows
    without = list(not_watched(Afloat(written(tmp_path, "coal_berth", drop("berth", "fenders")))))
    assert any("no berth.fenders" in row for row in without)
