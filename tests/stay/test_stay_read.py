"""What a stay file that is right is read as."""

import re
from dataclasses import fields
from pathlib import Path

import pytest

from alongside.errors import StayFaults, WrongInput
from alongside.stay.channels import CHANNELS, KINDS, SENTENCES
from alongside.stay.coefficients import WIND_SETS
from alongside.stay.example_curves import example_curves
from alongside.stay.model import (
    Berth,
    CargoOperation,
    Display,
    Feed,
    Limits,
    MadeFast,
    Rope,
    Scenario,
    Ship,
    Source,
    StageLimits,
    Stay,
    Tend,
    TidePlan,
)
from alongside.stay.read import describe, read_stay
from alongside.units import KNOT, unix_time

EXAMPLE = Path(__file__).parent / "example.yaml"
SHIP = slice(EXAMPLE.read_text().index("ship:"), EXAMPLE.read_text().index("berth:\n"))


@pytest.fixture(scope="module")
def stay() -> Stay:
    return read_stay(EXAMPLE)


def read_text(tmp_path: Path, text: str) -> Stay:
    path = tmp_path / "stay.yaml"
    path.write_text(text)
    return read_stay(path)


def changed(tmp_path: Path, there: str, instead: str) -> Stay:
    text = EXAMPLE.read_text()
    assert there in text
    return read_text(tmp_path, text.replace(there, instead, 1))


def test_text_means_what_its_field_says(tmp_path: Path) -> None:
    """YAML 1.1 would make these 8, False, 750 and 2026-03-02."""
    stay = changed(tmp_path, "name: Grey Heron", "name: 010")
    assert stay.ship.name == "010"
    assert changed(tmp_path, "name: Grey Heron", "name: no").ship.name == "no"
    assert changed(tmp_path, "name: Grey Heron", "name: 12:30").ship.name == "12:30"
    assert changed(tmp_path, "name: Grey Heron", "name: 2026-03-02").ship.name == "2026-03-02"
    assert changed(tmp_path, "front_m2: 700", "front_m2: 1e3").ship.wind.front_m2 == 1000.0  # type: ignore[union-attr]
    assert changed(tmp_path, "hours: 24", "hours: 010").simulate.hours == 10.0  # type: ignore[union-attr]


@pytest.mark.parametrize(("word", "on"), [("on", True), ("yes", True), ("true", True), ("no", False)])
def test_balance_is_on_or_off(tmp_path: Path, word: str, on: bool) -> None:
    assert changed(tmp_path, "balance: off", f"balance: {word}").balance is on


def test_lines_bear_their_ropes_and_tails(stay: Stay) -> None:
    first, second = stay.lines
    assert (first.id, second.id) == ("1", "2")
    assert first.rope is stay.ropes["polyester_8"]
    assert first.rope.name == "polyester_8"
    assert first.rope.wll_fraction == 0.50
    assert first.tail is not None
    assert first.tail.rope.allowance_percent == 18.0
    assert first.tail.rope.curve[-1] == (33.0, 1.0)
    assert first.tail.rope.grade == "memory"
    assert first.tail.rope.certificate == "A-17"
    assert first.tended == (
        Tend("1", unix_time("2026-03-02T06:00:00Z"), paid_out=0.40),
        Tend("1", unix_time("2026-03-02T07:00:00Z"), to_tension_kn=60.0),
    )


def test_wire_may_be_worked_to_a_larger_share(tmp_path: Path) -> None:
    """Flag circular on SOLAS II-1/3-8: wire 55 %, all else 50 % of the design break force."""
    wire = changed(tmp_path, "{kind: synthetic, mbl_kn: 640", "{kind: wire, mbl_kn: 640").ropes["polyester_8"]
    assert wire.wll_fraction == 0.55


def test_heel_when_made_fast_is_upright_only_where_the_rest_is_stated(stay: Stay) -> None:
    assert stay.lines[0].made_fast.heel_deg == 0.0
    assert stay.lines[1].made_fast.heel_deg is None
    assert stay.lines[1].made_fast.tide is None


def test_a_cause_given_replaces_its_default_whole_and_no_other(stay: Stay) -> None:
    assert stay.limits.stretch_share == StageLimits(0.70, None, 1.00)
    assert stay.limits.slack_share == Limits().slack_share


def keys_of(made: type) -> set[str]:
    return {each.name for each in fields(made)}


def test_the_documentation_names_every_key_and_channel() -> None:
    text = (Path(__file__).parents[2] / "console" / "alongside" / "manual" / "stay-file.md").read_text()
    told = set(re.findall(r"`([a-z0-9_]+)`", text))
    # Written `name`, the key itself, no key given, `swl_kn` of a fairlead, `high_low` before differences;
    # `group`, `field`, `column`, `ma`, `unit`.
    unsaid = {"names", "channel", "checks_unit", "chocks", "standard"}
    unsaid |= {"groups", "fields", "columns", "loop", "unit_factor"}
    for made in (
        Ship,
        Berth,
        Rope,
        MadeFast,
        Source,
        Feed,
        Limits,
        Display,
        TidePlan,
        CargoOperation,
        Scenario,
    ):
        assert keys_of(made) - unsaid <= told, made
    assert set(CHANNELS) | set(example_curves()) | set(WIND_SETS) <= told


def test_every_cause_has_its_key(tmp_path: Path) -> None:
    """A cause that the model has and the file lacks would be a limit that nobody can set."""
    for cause in keys_of(Limits):
        with pytest.raises(StayFaults, match="no stage given"):
            changed(tmp_path, "limits: {steep_deg", f"limits: {{{cause}: {{}}}} # {{steep_deg")


def test_channels_keep_the_defaults_of_their_kind(stay: Stay) -> None:
    by_channel = {source.channel: source for feed in stay.feeds for source in feed.channels}
    tide, draught, aft = by_channel["tide"], by_channel["draught_fwd"], by_channel["draught_aft"]
    assert (tide.names, tide.range, tide.smooth_s) == (("TIDE",), (-5.0, 20.0), 180.0)
    assert (draught.names, draught.freeze_s) == (("DRFP", "DRFS"), None)
    assert (aft.range, aft.freeze_s, aft.scale, aft.offset) == ((0.0, 15.0), 900.0, 0.01, -0.2)
    assert (by_channel["wind_speed"].stale_s, by_channel["wind_speed"].lost_s) == (5.0, 20.0)
    assert by_channel["heel"].group == "list"


def test_a_value_lost_sooner_than_stale_by_default_is_never_merely_stale(tmp_path: Path) -> None:
    stay = changed(tmp_path, "stale_s: 5, lost_s: 20", "lost_s: 10")
    wind = next(source for source in stay.feeds[0].channels if source.channel == "wind_speed")
    assert (wind.stale_s, wind.lost_s) == (10.0, 10.0)


def test_every_channel_has_a_kind_and_sentences_bear_only_channels() -> None:
    assert set(KINDS) == set(CHANNELS)
    assert {channel for borne in SENTENCES.values() for channel in borne} <= set(CHANNELS)


def test_a_swell_of_one_metre_passes_the_rate_of_tide_and_draughts() -> None:
    """Ours: the fastest rise of a swell of height 1 m and period 5 s is pi x 1 / 5 = 0.628 m/s."""
    for channel in ("tide", "draught_fwd", "draught_aft"):
        rate = KINDS[channel].rate_per_s
        assert rate is not None
        assert rate > 0.628


def test_sentences_are_those_that_are_understood() -> None:
    talk = pytest.importorskip("alongside.feeds.meanings")
    assert {name: set(borne) for name, borne in SENTENCES.items() if borne} == {
        name: set(meanings) for name, meanings in talk.MEANINGS.items()
    }


def test_wind_in_knots_or_metres_a_second_as_the_name_says(stay: Stay) -> None:
    assert stay.simulate is not None
    (wind,) = stay.simulate.wind
    assert wind.mean_ms == pytest.approx(10 * KNOT, abs=1e-12)
    assert wind.gust_ms == pytest.approx(15 * KNOT, abs=1e-12)


def test_wind_at_a_height_is_brought_to_ten_metres(tmp_path: Path) -> None:
    """(10/z)^(1/7): at 30 m, 0.854751, ours. Nothing else has a height."""
    there = "wind_speed: {sentence: MWV, talker: WI, reference: T,"
    stay = changed(tmp_path, there, f"{there} height_m: 30, scale: 2.0,")
    speed = next(c for feed in stay.feeds for c in feed.channels if c.channel == "wind_speed")
    assert speed.scale == pytest.approx(2.0 * 0.854751, abs=2e-6)
    with pytest.raises(StayFaults, match="only wind has a height"):
        changed(tmp_path, "tide: {sentence: XDR,", "tide: {sentence: XDR, height_m: 30,")


def test_the_rest_of_the_example(stay: Stay) -> None:
    assert stay.file == str(EXAMPLE)
    assert stay.display.zone == "+02:00"
    assert stay.tide is not None
    assert stay.tide.high_low[1] == (unix_time("2026-03-02T06:25:00Z"), 5.2)
    assert stay.cargo[0].end == unix_time("2026-03-02T05:00:00Z") + 16000.0
    assert stay.berth.fenders[1].table[2] == (0.5, 760.0)
    assert stay.ship.wind is not None
    assert stay.ship.wind.coefficients == "cargo_loaded"
    assert stay.ship.current is not None
    assert stay.ship.current.coefficients[1] == (90.0, 0.0, 0.6, 0.0)


def test_described_in_one_line(stay: Stay) -> None:
    assert describe(stay) == (
        "Bulk carrier at the coal berth: Grey Heron, starboard side to Coal berth; 2 lines (1 head, 1 stern) "
        "of 2 ropes; 2 fenders; 6 channels from 2 feeds; 2 high and low waters; 1 cargo operation"
    )


@pytest.mark.parametrize("ending", ["\r\n", "\r"])
def test_other_line_endings_and_a_byte_order_mark(tmp_path: Path, stay: Stay, ending: str) -> None:
    path = tmp_path / "stay.yaml"
    path.write_bytes(b"\xef\xbb\xbf" + EXAMPLE.read_text().replace("\n", ending).encode())
    assert read_stay(path).lines == stay.lines


# --- other files


def test_sections_may_stand_in_files_of_their_own(tmp_path: Path, stay: Stay) -> None:
    text = EXAMPLE.read_text()
    (tmp_path / "ships").mkdir()
    section = text[SHIP]
    (tmp_path / "ships" / "heron.yaml").write_text(section.split("\n", 1)[1])
    path = tmp_path / "stay.yaml"
    path.write_text(text.replace(section, "ship: ships/heron.yaml\n"))
    assert read_stay(path).ship == stay.ship

    (tmp_path / "ships" / "heron.yaml").write_text(section.split("\n", 1)[1].replace("183.0", "no"))
    with pytest.raises(StayFaults) as caught:
        read_stay(path)
    (fault,) = caught.value.faults
    assert (fault.line, fault.column, fault.path) == (2, 8, "ship.loa")
    assert fault.file == str(tmp_path / "ships" / "heron.yaml")


def test_a_file_named_but_not_there_is_a_fault_where_it_is_named(tmp_path: Path) -> None:
    text = EXAMPLE.read_text()
    path = tmp_path / "stay.yaml"
    path.write_text(text.replace(text[SHIP], "ship: heron.yaml\n"))
    with pytest.raises(StayFaults) as caught:
        read_stay(path)
    (fault,) = caught.value.faults
    assert (fault.file, fault.line, fault.column, fault.path) == (str(path), 5, 7, "ship")
    assert "No such file" in fault.problem


CONSTANTS = "# a port\nname, amplitude, lag_deg, compound\nM2, 1.010, 17.5,\nMSF4, 0.02, 350, 2*M2 - 1*2N2\n"


def test_constituents_from_a_table(tmp_path: Path) -> None:
    (tmp_path / "port.csv").write_text(CONSTANTS)
    tide = "tide: {constituents: port.csv, mean_level: 2.23, to_chart_datum: -1.066, datum: STND} #"
    plan = changed(tmp_path, "tide: {high_low", tide).tide
    assert plan is not None
    assert plan.constituents[0].amplitude == 1.010
    assert plan.constituents[1].compound == (("M2", 2), ("2N2", -1))


@pytest.mark.parametrize(
    ("there", "instead", "place", "words"),
    [
        ("1.010", "1,010", (3, 12, "tide.constituents[0].compound"), "not a sum of constituents"),
        ("17.5", "nan", (3, 12, "tide.constituents[0].lag_deg"), "not a number"),
        ("amplitude", "amp", (2, 7, "tide.constituents"), "unknown column 'amp'"),
        ("2*M2 - 1*2N2", "2*M2 & S2", (4, 18, "tide.constituents[1].compound"), "not a sum of constituents"),
    ],
)
def test_a_fault_in_a_table_has_its_place_there(
    tmp_path: Path, there: str, instead: str, place: tuple[int, int, str], words: str
) -> None:
    (tmp_path / "port.csv").write_text(CONSTANTS.replace(there, instead))
    with pytest.raises(StayFaults) as caught:
        changed(tmp_path, "tide: {high_low", "tide: {constituents: port.csv} #")
    told = {(f.line, f.column, f.path): f.problem for f in caught.value.faults}
    assert words in told[place]
    assert {fault.file for fault in caught.value.faults} == {str(tmp_path / "port.csv")}


def test_a_missing_file_is_named(tmp_path: Path) -> None:
    for path in (tmp_path / "none.yaml", tmp_path):
        with pytest.raises(WrongInput, match=f"{path}: cannot be read"):
            read_stay(path)
