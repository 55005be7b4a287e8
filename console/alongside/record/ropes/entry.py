"""What is entered of a rope by hand: its certificate, where it is fitted, inspections, its end.

Entries are read as a stay file is, value by value, each fault at its place. Numbers are metres, kilonewtons,
hours, years; a day is text, `2026-11-20`.
"""

import json
import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from pathlib import Path
from types import MappingProxyType
from typing import Any, Final

import yaml

from alongside.errors import Fault, StayFaults, WrongInput
from alongside.stay.document import read_document
from alongside.stay.estimates import Estimates
from alongside.stay.fields import TEXT, Field, choice, force, listed, number, whole, word
from alongside.stay.nodes import Node, shown
from alongside.stay.records import optional, record, required
from alongside.stay.rope_stretch import CONSTRUCTIONS
from alongside.stay.ropes import MATERIALS, SHARE_LEFT

FINDINGS: Final = (
    "no damage",
    "chafed",
    "cut yarns",
    "cut strand",
    "melted",
    "powder inside",
    "stiff",
    "thinner",
    "kinked",
    "discoloured",
    "chemicals",
    "cover worn",
    "eye worn",
    "splice drawn",
    "shackle worn",
    "broken wires",
    "corroded",
    "birdcaged",
    "parted",
)
"""What an inspection may find, in the words of deck. Common practice, no source: the circular has no list."""

DEEDS: Final[Mapping[str, tuple[tuple[str, ...], tuple[str, ...]]]] = {
    "certificate": (
        (),
        ("certificate", "maker", "what", "material", "construction", "mbl_kn", "ldbf_kn", "length_m",
         "diameter_mm", "made", "hours_limit", "years_limit", "inspect_months"),
    ),
    "fitted": (("where",), ()),
    "stowed": ((), ("where",)),
    "end_for_ended": ((), ()),
    "cropped": (("cut_m",), ("length_m",)),
    "inspected": (("findings",), ("residual_strength", "how", "next")),
    "retired": ((), ("why",)),
    "renamed": (("to",), ()),
}  # fmt: skip
"""Each deed with the fields that it needs and those that it may have; all may have `note`."""
HOW: Final = ("judged", "tested")


@dataclass(frozen=True, slots=True)
class Entry:
    """One thing done to one rope or tail on a day; `fields` in the order of `DEEDS`."""

    serial: str
    deed: str
    day: str
    who: str
    fields: Mapping[str, Any] = field(default_factory=dict)

    @property
    def identity(self) -> str:
        """Return the text by which the same entry is known again."""
        return json.dumps([self.deed, self.serial, self.day, self.who, dict(self.fields)], sort_keys=True)


def serial_of(text: str) -> str:
    """Return a serial number as it is compared: no blanks around it, single ones within, composed letters."""
    return unicodedata.normalize("NFC", " ".join(text.split()))


_DAY: Final = re.compile(r"\d{4}-\d\d-\d\d", re.ASCII)
ENTRY_DAY: Final = "a day such as 2026-11-20, of 1990 to 2099"


def day_of(text: str) -> date | None:
    """Return a day of 1990 to 2099; None for any other text."""
    try:
        known = date.fromisoformat(text) if _DAY.fullmatch(text) else None
    except ValueError:
        return None
    return known if known is not None and 1990 <= known.year < 2100 else None


def _read_day(node: Node) -> str:
    text = node.text(ENTRY_DAY) or ""
    if text and day_of(text) is None:
        node.fault(f"{shown(text)} is no day", ENTRY_DAY)
    return text


DAY: Final = Field(ENTRY_DAY, _read_day)
SERIAL: Final = word("a serial number of up to 60 characters", r" *\S.{0,59}").then(serial_of)
INITIALS: Final = word("a name or initials of up to 40 characters", r"\S|\S.{0,38}\S")

_LENGTH: Final = number("m", above=0, most=5000)
ENTRY: Final = record(
    lambda **given: given,
    serial=required(SERIAL),
    deed=required(choice(*DEEDS)),
    day=optional(DAY),
    by=optional(INITIALS),
    certificate=optional(TEXT),
    maker=optional(TEXT),
    what=optional(choice("rope", "tail")),
    material=optional(choice(*MATERIALS)),
    construction=optional(choice(*CONSTRUCTIONS)),
    mbl_kn=optional(force(above=0)),
    ldbf_kn=optional(force(above=0)),
    length_m=optional(_LENGTH),
    diameter_mm=optional(number("mm", above=0, most=400)),
    made=optional(DAY),
    hours_limit=optional(number("h", above=0, most=1_000_000)),
    years_limit=optional(number("years", above=0, most=50)),
    inspect_months=optional(whole(least=1, most=120)),
    where=optional(TEXT),
    cut_m=optional(_LENGTH),
    findings=optional(listed(choice(*FINDINGS), least=1)),
    residual_strength=optional(SHARE_LEFT),
    how=optional(choice(*HOW)),
    next=optional(DAY),
    why=optional(TEXT),
    to=optional(SERIAL),
    note=optional(TEXT),
)


def _entry(node: Node, today: date, usual: Mapping[str, str] = MappingProxyType({})) -> Entry | None:
    """Return one entry; None where something in it is wrong, which is then in the node's faults. What is left
    blank is not given; `usual` has values that serve then."""
    before = len(node.faults)
    node = _without_blanks(node)
    given = ENTRY.read(node)
    for name in ("day", "by"):
        if name not in given and name in usual:
            given[name] = usual[name]
        elif name not in given:
            node.missing(name, ENTRY_DAY if name == "day" else INITIALS.expected)
    if len(node.faults) > before:
        return None
    deed = given["deed"]
    needed, may = DEEDS[deed]
    for name in given:
        if name not in ("serial", "deed", "day", "by", "note", *needed, *may):
            own = ", ".join((*needed, *may)) or "note"
            node[name].fault(f"{name} does not belong to {deed}", f"with {deed} only {own}")
    for name in needed:
        if name not in given:
            node.missing(
                name, f"one or more of {', '.join(FINDINGS)}" if name == "findings" else f"{name} of {deed}"
            )
    _consistent(node, given)
    for name in ("day", "made"):
        day = day_of(given.get(name, ""))
        if day is not None and day > today:
            clock = f"today is {today} at the latest by the clock of this computer"
            node[name].fault(f"{day} is yet to come ({clock})", "a day that has been; check day and clock")
    if len(node.faults) > before:
        return None
    if "ldbf_kn" in given:
        given["mbl_kn"] = given.pop("ldbf_kn")
    fields = {name: _plain(given[name]) for name in (*needed, *may, "note") if name in given}
    return Entry(given["serial"], deed, given["day"], given["by"], fields)


def _without_blanks(node: Node) -> Node:
    """Return a table without the keys whose values are left blank."""
    if not isinstance(node.raw, yaml.MappingNode):
        return node
    pairs = [pair for pair in node.raw.value if not _is_blank(pair[1])]
    raw = yaml.MappingNode(
        node.raw.tag, pairs, node.raw.start_mark, node.raw.end_mark, flow_style=node.raw.flow_style
    )
    return replace(node, raw=raw)


def _is_blank(value: yaml.Node) -> bool:
    return isinstance(value, yaml.ScalarNode) and not value.value and not value.style


def _plain(value: Any) -> Any:
    return list(value) if isinstance(value, tuple) else value


def _consistent(node: Node, given: Mapping[str, Any]) -> None:
    if "mbl_kn" in given and "ldbf_kn" in given:
        node["ldbf_kn"].fault("mbl_kn and ldbf_kn together", "one of them")
    if given["deed"] == "certificate" and not set(given) & set(DEEDS["certificate"][1]):
        node.missing("certificate", "at least one value of the certificate")
    if ("residual_strength" in given) != ("how" in given):
        there, lost = ("residual_strength", "how") if "how" not in given else ("how", "residual_strength")
        node[there].fault(f"{there} without {lost}", f"{lost} beside it: judged by eye, or tested")
    if given.get("to") == given["serial"]:
        node["to"].fault("the same serial number", "the one that it is known by from now on")
    found = given.get("findings", ())
    if "no damage" in found and len(found) > 1:
        node["findings"].fault("no damage beside damage", "one or the other")
    following = given.get("next")
    if following is not None and following <= given["day"]:
        node["next"].fault(f"{following} is not after the inspection", f"a day after {given['day']}")


def read_entries(path: Path, today: date) -> tuple[Entry, ...]:
    """Return the entries of a file: `day` and `by` of the file serve where an entry has none. Raises
    StayFaults with every fault at its place, WrongInput where it cannot be read."""
    faults: list[Fault] = []
    try:
        root = read_document(path, faults)
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) else error
        raise WrongInput(f"{path}: cannot be read ({reason}), expected a file of entries") from error
    entries: list[Entry | None] = []

    def each(day: str | None, by: str | None) -> Field[Any]:
        usual = {name: value for name, value in (("day", day), ("by", by)) if value}
        return listed(Field("an entry", lambda node: entries.append(_entry(node, today, usual))))

    whole_file = record(
        lambda **_given: None,
        format=required(choice("1")),
        day=optional(DAY),
        by=optional(INITIALS),
        entries=required(each, knowing=("day", "by")),
    )
    whole_file.read(root)
    if faults:
        raise StayFaults(faults)
    return tuple(entry for entry in entries if entry is not None)


def typed_entry(serial: str, deed: str, words: Mapping[str, str], today: date) -> Entry:
    """Return the entry that is typed on a command line: `words` by name, findings with commas between.
    Raises WrongInput with what was expected."""
    values = {"serial": serial, "deed": deed, "day": today.isoformat(), **words}
    faults: list[Fault] = []
    pairs = [(_typed(name), _of_typed(name, text)) for name, text in values.items() if text.strip()]
    raw = yaml.MappingNode("tag:yaml.org,2002:map", pairs, _MARK, _MARK)
    entry = _entry(Node(raw, "command line", "", faults, Estimates()), today)
    if entry is None:
        raise WrongInput(*dict.fromkeys(f"{fault.path or 'entry'}: {fault.problem}" for fault in faults))
    return entry


_MARK: Final = yaml.Mark("command line", 0, 0, 0, None, 0)


def _typed(text: str) -> yaml.ScalarNode:
    return yaml.ScalarNode("tag:yaml.org,2002:str", text, _MARK, _MARK, style='"')


def _of_typed(name: str, text: str) -> yaml.Node:
    if name != "findings":
        return _typed(text)
    each = [_typed(one.strip()) for one in text.split(",")]
    return yaml.SequenceNode("tag:yaml.org,2002:seq", each, _MARK, _MARK)
