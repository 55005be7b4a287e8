"""One channel of a feed: what its values come from, and what they must pass."""

from collections.abc import Mapping
from typing import Any, Final

from alongside.stay.channels import DIRECTIONS, REFERENCES, SENTENCES, kind_of, xdr_units
from alongside.stay.fields import (
    NAME,
    TEXT,
    Field,
    by_shape,
    choice,
    listed,
    named,
    number,
    row,
    whole,
    word,
)
from alongside.stay.headings import LONGEST, heading, unit_named
from alongside.stay.model import Source
from alongside.stay.nodes import Node, one_of, shown
from alongside.stay.records import exactly_one, optional, record
from alongside.stay.registers import REGISTER
from alongside.stay.unit_words import FOLLOWING_FIELD, MILLIAMPERE, factor, field_factor, raw_unit, words_of

Given = Mapping[str, Any]
"""Keys of one channel as far as the file gives them; the rest depends on which channel it is."""

MOST_FIELDS: Final = 99


def _read_unless_never(node: Node) -> float | None:
    return None if node.word == "never" else SECONDS.read(node)


SECONDS: Final = number("s", above=0)
SECONDS_OR_NEVER: Final = Field(f"{SECONDS.expected}, or never", _read_unless_never)


def one_or_more(field: Field[Any]) -> Field[tuple[Any, ...]]:
    return by_shape(field.then(lambda value: (value,)), listed(field, least=1))


# --- what fits together


def _range_rises(node: Node, given: Given) -> None:
    low, high = given.get("range", (0.0, 1.0))
    if high <= low:
        node["range"][1].fault(f"{high:g} is not above the lower end", f"more than {low:g}")


def _stale_before_lost(node: Node, given: Given) -> None:
    if given.get("stale_s", 0.0) > given.get("lost_s", float("inf")):
        node["lost_s"].fault("lost_s is less than stale_s", f"at least {given['stale_s']:g} s")


def _names_its_transducer(node: Node, given: Given) -> None:
    is_xdr = given.get("sentence") == "XDR" and "field" not in given
    if is_xdr and "name" not in given:
        node.missing("name", "the name of the transducer in the XDR")
    if not is_xdr and "name" in given:
        node["name"].fault("only the transducers of an XDR have names", "sentence XDR, or no name")


def _sentence_is_known(node: Node, given: Given) -> None:
    if "sentence" in given and "field" not in given and given["sentence"] not in SENTENCES:
        expected = f"{', '.join(SENTENCES)}, or any other with a field"
        node["sentence"].fault(f"{shown(given['sentence'])} is not known here", expected)
    if "field" in given and "sentence" not in given:
        node["field"].fault("only a sentence has fields", "a sentence beside it, or a group")


def _unit_has_a_place(node: Node, given: Given) -> None:
    if "unit" in given and "sentence" in given and given["sentence"] != "XDR" and "field" not in given:
        node["unit"].fault("only the transducers of an XDR have units", "sentence XDR, a field, or no unit")
    if "unit_in" in given and not {"group", "field", "column"} & given.keys():
        expected = "a group, a field or a column beside it"
        node["unit_in"].fault("a unit is sought for groups, fields and columns only", expected)


def _heeds_its_reference(node: Node, given: Given) -> None:
    reference = given.get("reference", "")
    if {"group", "field", "column"} & given.keys():
        heeded: tuple[str, ...] = ("bow",)
    else:
        heeded = REFERENCES.get(given.get("sentence", ""), ())
    if reference and reference not in heeded:
        node["reference"].fault(f"{shown(reference)} is not a reference of this sentence", one_of(heeded, ""))


def _inputs(given: Given) -> int:
    return max(len(given.get(key, ())) for key in ("group", "field", "column", "name"))


def _combines_what_it_has(node: Node, given: Given) -> None:
    count, combine, weights = _inputs(given), given.get("combine"), given.get("weights")
    if combine is not None and count < 2:
        node["combine"].fault("one input only", "a list of groups, fields, columns or names")
    if combine in ("difference", "quotient") and count > 2:
        node["combine"].fault(f"{combine} of {count} inputs", "two inputs")
    if combine is None and count > 1 and "name" not in given:
        node.missing("combine", "mean, sum, difference or quotient of these inputs")
    if weights is not None and combine != "sum":
        node["weights"].fault("only a sum has weights", "combine: sum")
    elif weights is not None and len(weights) != count:
        node["weights"].fault(f"{len(weights)} weights of {count} inputs", "a weight for each input")


def _is_no_loop_and_unit(node: Node, given: Given) -> None:
    if "counts" in given:
        if "ma" not in given:
            node.missing("ma", "the values at 4 and at 20 mA, beside counts")
        if "unit" in given or "unit_in" in given:
            node["counts"].fault("counts have no unit", "counts, or a unit")
        if given["counts"][0] == given["counts"][1]:
            node["counts"][1].fault("the same at 4 and at 20 mA", "another number of counts")
    if "ma" not in given:
        return
    low, high = given["ma"]
    if low == high:
        node["ma"][1].fault("the same at 4 and at 20 mA", "another value")
    if "unit" in given and field_factor(MILLIAMPERE, given["unit"]) is None:
        node["unit"].fault(f"unit {shown(given['unit'])} of a current loop", "mA, A, or no unit")


def _conditions_have_fields(node: Node, given: Given) -> None:
    if "where" in given and not {"field", "column"} & given.keys():
        node["where"].fault("only fields of a sentence, and columns, are compared", "a field beside it")
    if "minus" in given and not {"group", "field", "column"} & given.keys():
        expected = "a group, a field or a column beside it"
        node["minus"].fault("only groups, fields and columns may be negative so", expected)
    places = [] if "column" in given else [("where", place) for place in dict(given.get("where", ()))]
    if "field" in given:
        places += [("minus", place) for place in dict(given.get("minus", ()))]
        places += [("unit_in", given["unit_in"])] if "unit_in" in given else []
    for key, place in places:
        if not (place.isascii() and place.isdigit() and 1 <= int(place) <= MOST_FIELDS):
            at = node[key] if key == "unit_in" else node[key][place]
            at.fault(f"{shown(place)} is no field", f"the number of a field, 1 to {MOST_FIELDS}")


def unit_fits(node: Node, channel: str, given: Given) -> None:
    """Put on the list a unit that cannot become the channel's, and a sum of directions."""
    unit = kind_of(channel).unit
    converts = "unit" in given and not {"scale", "ma", "name"} & given.keys()
    if converts and field_factor(unit, given["unit"]) is None:
        words = ", ".join((*FOLLOWING_FIELD[unit], *words_of(unit)))
        expected = f"a scale that makes it {unit}, or a unit of {words}"
        node["unit"].fault(f"unit {shown(given['unit'])} without a scale", expected)
    _headings_fit(node, unit if "ma" not in given else MILLIAMPERE, given)
    if channel in DIRECTIONS and given.get("combine", "mean") != "mean":
        node["combine"].fault(f"{given['combine']} of directions", "mean")
    if channel not in DIRECTIONS and given.get("reference") == "bow":
        node["reference"].fault(f"{channel} is no direction", "no reference")


def _headings_fit(node: Node, unit: str, given: Given) -> None:
    """Put on the list a heading that names a unit which cannot become the channel's, or another than the file
    does."""
    columns = given.get("column", ())
    for at, column in enumerate(columns if {"scale", "unit_in"}.isdisjoint(given) else ()):
        word = unit_named(column, unit)
        place = node["column"] if node["column"].is_scalar else node["column"][at]
        if word and factor(unit, word) is None:
            place.fault(f"{shown(column)} is in {word}", f"a scale that makes it {unit}, or another column")
        elif word and "unit" in given and factor(unit, word) != field_factor(unit, given["unit"]):
            node["unit"].fault(f"{shown(column)} is in {word}, not {given['unit']}", f"unit {word}, or none")


def _texts_at(place: str) -> Field[tuple[tuple[str, str], ...]]:
    """A table of texts by the group, the heading, or the number of the field that they stand in."""
    texts = named(TEXT, key=word(place, ".{1,60}"), least=1)
    return texts.then(lambda pairs: tuple(sorted((heading(key), text) for key, text in pairs.items())))


HEADING: Final = word(f"the heading of a column, up to {LONGEST} characters", r"\S|\S.{0,58}\S").then(heading)


SOURCE: Final[Field[Given]] = record(
    dict,
    exactly_one("sentence", "group", "column", "register"),
    _names_its_transducer,
    _sentence_is_known,
    _heeds_its_reference,
    _unit_has_a_place,
    _combines_what_it_has,
    _is_no_loop_and_unit,
    _conditions_have_fields,
    _range_rises,
    _stale_before_lost,
    sentence=optional(word("a sentence such as XDR or PXYZ", "[A-Z0-9]{3}|P[A-Z0-9]{2,14}")),
    talker=optional(word("two letters or digits such as WI", "[A-Z0-9]{2}")),
    name=optional(one_or_more(NAME)),
    field=optional(one_or_more(whole(least=1, most=MOST_FIELDS))),
    where=optional(_texts_at("the number of a field, or a column")),
    reference=optional(NAME),
    group=optional(one_or_more(NAME)),
    column=optional(one_or_more(HEADING)),
    register=optional(REGISTER),
    combine=optional(choice("mean", "sum", "difference", "quotient")),
    weights=optional(listed(number(), least=2)),
    minus=optional(_texts_at("a group, a column, or the number of a field")),
    unit=optional(word("a unit as the gauge names it, such as M, ft or kn", "[!-+.-~°µ]{1,8}")),
    unit_in=optional(HEADING),
    ma=optional(row(at_4=number(), at_20=number())),
    counts=optional(row(at_4=number(), at_20=number())),
    height_m=optional(number("m", above=0, most=200)),
    scale=optional(number()),
    offset=optional(number()),
    range=optional(row(low=number(), high=number())),
    rate_per_s=optional(number("the channel's unit a second", above=0)),
    freeze_s=optional(SECONDS_OR_NEVER),
    stale_s=optional(SECONDS),
    lost_s=optional(SECONDS),
    smooth_s=optional(number("s", least=0, most=3600)),
)


def source_of(channel: str, given: Given) -> Source:
    """One channel: what the file gives, for the rest the defaults of its kind. A value that is lost sooner
    than it would be stale by default is never merely stale."""
    kind = kind_of(channel)
    to_ten_metres = (10.0 / given.get("height_m", 10.0)) ** (1.0 / 7.0)
    lost = given.get("lost_s", kind.lost_s if "stale_s" not in given else max(kind.lost_s, given["stale_s"]))
    groups = _as_tuple(given.get("group", ()))
    register = given.get("register")
    return Source(
        channel=channel,
        # What is read of registers goes on record, and is heard, as a sentence.
        sentence=given.get("sentence") if register is None else "XDR",
        talker=given.get("talker"),
        names=given.get("name", ()),
        reference=given.get("reference"),
        group=groups[0] if len(groups) == 1 else None,
        groups=groups if len(groups) > 1 else (),
        fields=given.get("field", ()),
        columns=given.get("column", ()),
        register=register,
        combine=given.get("combine", "mean"),
        weights=given.get("weights", ()),
        where=given.get("where", ()),
        minus=given.get("minus", ()),
        unit=given.get("unit"),
        unit_in=given.get("unit_in"),
        unit_factor=_unit_factor(channel, given),
        loop=given.get("ma"),
        counts=given.get("counts"),
        checks_unit=_bears_units(given) and not {"unit", "scale"} & given.keys(),
        scale=given.get("scale", 1.0) * to_ten_metres,
        offset=given.get("offset", 0.0) * to_ten_metres,
        range=given.get("range", kind.range),
        rate_per_s=given.get("rate_per_s", kind.rate_per_s),
        freeze_s=given.get("freeze_s", kind.freeze_s),
        stale_s=given.get("stale_s", min(kind.stale_s, lost)),
        lost_s=lost,
        smooth_s=given.get("smooth_s", kind.smooth_s),
    )


def _unit_factor(channel: str, given: Given) -> float:
    """Return what brings a number in the unit that the file names to the channel's, or to mA. A scale says
    all of it itself."""
    if "unit" not in given or ("scale" in given and "ma" not in given):
        return 1.0
    unit, word = raw_unit(channel, "ma" in given), given["unit"]
    letters = xdr_units(channel) if given.get("sentence") == "XDR" and "ma" not in given else {}
    by = letters[word] if word in letters else field_factor(unit, word)
    return 1.0 if by is None else by


def _bears_units(given: Given) -> bool:
    return given.get("sentence") == "XDR" or bool({"group", "field", "column"} & given.keys())


def _as_tuple(groups: str | tuple[str, ...]) -> tuple[str, ...]:
    return (groups,) if isinstance(groups, str) else groups
