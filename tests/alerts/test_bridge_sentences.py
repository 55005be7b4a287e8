"""Sentences about alerts: parsed back by pynmeagps, and by a reader of the published fields written here.

Fields and letters are those of IEC 61162-1, from memory; the library's field lists are its own.
"""

from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pynmeagps import NMEAMessage, NMEAReader

from alongside.alerts.bridge.commands import Command, ack_in, acn_in
from alongside.alerts.bridge.framing import Framing
from alongside.alerts.bridge.numbers import IDENTIFIERS, LOOK_FIRST, Numbers, category
from alongside.alerts.bridge.sent import Sent
from alongside.alerts.bridge.sentences import alc, alf, alr, arc, fitted, hbt, no_alr, plain
from alongside.feeds.sentence import said_by, sentence, split_tags
from alongside.stay.causes import CAUSES
from tests.feeds.stays import START, stay_with

CAUSE = st.sampled_from(CAUSES)
TEXTS = st.text(max_size=120)
SENT = st.builds(
    Sent,
    key=st.tuples(CAUSE, st.text(max_size=8)),
    at=st.floats(START, START + 1e8),
    priority=st.sampled_from("CWA"),
    state=st.sampled_from("VSAOUN"),
    title=TEXTS,
    text=TEXTS,
    revision=st.integers(1, 99),
    escalations=st.integers(0, 9),
)


def fields(line: bytes) -> list[str]:
    """The independent reader: length, printable, checksum, fields."""
    assert len(line) + 2 <= 82
    assert line.isascii()
    assert line.decode().isprintable()
    assert line[:1] == b"$"
    assert line[-3:-2] == b"*"
    check = 0
    for byte in line[1:-3]:
        check ^= byte
    assert line[-2:] == b"%02X" % check
    return line[1:-3].decode().split(",")


def unescaped(text: str) -> str:
    """`^2C` is the character with that number."""
    out, at = "", 0
    while at < len(text):
        if text[at] == "^":
            out, at = out + chr(int(text[at + 1 : at + 3], 16)), at + 3
        else:
            out, at = out + text[at], at + 1
    return out


@given(SENT, st.integers(1, 999_999), st.integers(0, 10**6))
def test_alf_says_the_alert_in_one_sentence_or_two(alert: Sent, instance: int, sequence: int) -> None:
    lines = alf(alert, instance, sequence, "II", "XYZ")
    first = fields(lines[0])
    at = datetime.fromtimestamp(round(alert.at, 2), UTC)
    assert first[0] == "IIALF"
    assert first[1:4] == [str(len(lines)), "1", str(sequence % 10)]
    assert first[4].startswith(f"{at:%H%M%S}.")
    assert len(first[4]) == 9
    assert first[5:8] == [category(alert.key[0]), alert.priority, alert.state]
    number = ["XYZ", str(IDENTIFIERS[alert.key[0]]), str(instance)]
    assert first[8:13] == [*number, str(alert.revision), str(alert.escalations)]
    assert len(first) == 14
    assert len(first[13]) <= 16
    for second in lines[1:]:
        more = fields(second)
        assert more[1:4] == ["2", "2", first[3]]
        assert more[4:8] == ["", "", "", ""]
        assert more[8:13] == first[8:13]
        assert len(more) == 14
        unescaped(more[13])
    assert len(lines) in (1, 2)


@given(SENT)
def test_alf_is_read_by_the_library(alert: Sent) -> None:
    first, *more = [NMEAReader.parse(line + b"\r\n") for line in alf(alert, 12, 3, "II", "XYZ")]
    assert (first.alertcat, first.alertpriority, first.alertstate) == (
        category(alert.key[0]),
        alert.priority,
        alert.state,
    )
    assert (first.mfrcode, int(first.alertid), int(first.alertinst)) == (
        "XYZ",
        IDENTIFIERS[alert.key[0]],
        12,
    )
    assert (int(first.revisionctr), int(first.escalationctr)) == (alert.revision, alert.escalations)
    assert (first.numSen, first.senNum, first.seqmid) == (1 + len(more), 1, 3)
    for second in more:
        assert (second.senNum, second.seqmid, second.mfrcode) == (2, 3, "XYZ")


def test_the_text_goes_on_in_the_second_sentence() -> None:
    alert = Sent(("steep", "4"), START, "W", "V", "line 4 steep", "Line 4 steep: 32° down (limit 30°)")
    first, second = alf(alert, 5, 0, "II", "XYZ")
    assert first.startswith(b"$IIALF,2,1,0,040000.00,B,W,V,XYZ,10008,5,1,0,LINE 4 STEEP*")
    assert second.startswith(b"$IIALF,2,2,0,,,,,XYZ,10008,5,1,0,Line 4 steep: 32 deg down (limit 30 deg)*")
    long = Sent(("steep", "4"), START, "W", "V", "line 4 steep", "Line 4 steep, and so on" * 5)
    cut = fields(alf(long, 5, 0, "II", "XYZ")[1])[13]
    assert cut.startswith("Line 4 steep^2C and so on")
    assert cut.endswith("...")


@given(TEXTS, st.integers(0, 76))
def test_a_text_in_a_field_fits_and_breaks_nothing(text: str, room: int) -> None:
    said = fitted(plain(text), room)
    assert len(said) <= room
    assert not set(said) & set("$*,!\\~\r\n")
    assert plain(text).startswith(unescaped(said).removesuffix("...").rstrip())


@given(st.lists(st.tuples(SENT, st.integers(1, 999_999)), max_size=60))
def test_alc_lists_all_in_order(entries: list[tuple[Sent, int]]) -> None:
    lines = alc(entries, 7, "II", "XYZ")
    found: list[tuple[str, ...]] = []
    for place, line in enumerate(lines, 1):
        head = fields(line)
        assert head[:4] == ["IIALC", f"{len(lines):02d}", f"{place:02d}", "07"]
        assert len(head) == 5 + 4 * int(head[4])
        found += [tuple(head[at : at + 4]) for at in range(5, len(head), 4)]
        parsed = NMEAReader.parse(line + b"\r\n")
        assert parsed.numAlerts == int(head[4])
    assert found == [
        ("XYZ", str(IDENTIFIERS[alert.key[0]]), str(instance), str(alert.revision))
        for alert, instance in entries
    ]


def test_a_list_without_entries_is_sent_as_well() -> None:
    assert alc([], 0, "II", "XYZ") == (sentence("IIALC,01,01,00,0"),)


def test_heartbeat_and_refusal() -> None:
    beat = NMEAReader.parse(hbt(30.0, True, 13, "II") + b"\r\n")
    assert (beat.repeatint, beat.status, beat.seqid) == (30, "A", 3)
    assert fields(hbt(30.0, False, 0, "II")) == ["IIHBT", "30", "V", "0"]
    refused = NMEAReader.parse(arc(START + 3661.25, 10002, 5, "A", "II", "XYZ") + b"\r\n")
    assert (refused.mfrcode, refused.alertid, refused.alertinst, refused.alertcmd) == ("XYZ", "10002", 5, "A")
    assert fields(arc(START + 3661.25, 10002, None, "A", "II", "XYZ"))[1] == "050101.25"


@pytest.mark.parametrize(
    ("state", "condition", "answered"),
    [("V", "A", "V"), ("S", "A", "V"), ("A", "A", "A"), ("O", "A", "A"), ("U", "V", "V"), ("N", "V", "A")],
)
def test_alr_for_old_receivers(state: str, condition: str, answered: str) -> None:
    alert = Sent(("gangway", ""), START, "A", state, "gangway", "Gangway 34° (limit 30°)")  # type: ignore[arg-type]
    parsed = NMEAReader.parse(alr(alert, 14, "II") + b"\r\n")
    assert (parsed.alarmnum, parsed.alarmcond, parsed.alarmstate) == ("014", condition, answered)
    assert parsed.alarmtext == "Gangway 34 deg (limit 30 deg)"
    assert fields(no_alr("II")) == ["IIALR", "", "", "V", "V", ""]


@pytest.mark.parametrize("deed", "ASOQ")
def test_commands_built_by_the_library_are_read(deed: str) -> None:
    built = NMEAMessage(
        "II",
        "ACN",
        0,
        time=datetime(2026, 3, 2, 4, 0, 0).time(),
        mfrcode="XYZ",
        alertid="10002",
        alertnum=5,
        alertcmd=deed,
        status="C",
    ).serialize()
    assert acn_in(built.rstrip(), "XYZ") == Command(deed, 10002, 5)  # type: ignore[arg-type]
    assert acn_in(built.rstrip(), "ABC") is None, "one to somebody else"
    assert ack_in(NMEAMessage("II", "ACK", 0, alarmid="014").serialize().rstrip()) == Command("A", 14)


@pytest.mark.parametrize(
    "body",
    [
        "IIACN,040000.00,XYZ,10002,5,A,V",  # not a command
        "IIACN,040000.00,XYZ,10002,5,X,C",  # no such command
        "IIACN,040000.00,XYZ,10002,5,A",  # a field is missing
        "IIACN,040000.00,XYZ,10002,5,A,C,",  # one too many
        "IIACN,040000.00,XYZ,9999,5,A,C",  # no number of ours
        "IIACN,040000.00,XYZ,,5,A,C",  # acknowledge all: never
        "IIACN,040000.00,XYZ,10002,-5,A,C",
        "IIACN,040000.00,XYZ,10002,x,A,C",
        "IIACM,040000.00,XYZ,10002,5,A,C",
        "IIIACN,040000.00,XYZ,10002,5,A,C",
    ],
)
def test_anything_else_is_no_command(body: str) -> None:
    assert acn_in(sentence(body), "XYZ") is None


def test_a_command_needs_its_checksum() -> None:
    whole = sentence("IIACN,040000.00,XYZ,10002,5,A,C")
    assert acn_in(whole, "XYZ") == Command("A", 10002, 5)
    for broken in (whole[:-3], whole[:-1], whole.replace(b"10002", b"10003"), b"", whole[5:]):
        assert acn_in(broken, "XYZ") is None


@given(st.binary(max_size=90))
def test_no_bytes_are_a_command_by_accident(line: bytes) -> None:
    assert acn_in(line, "XYZ") is None
    assert ack_in(line) is None


def test_a_datagram_of_450_bears_sender_number_and_group() -> None:
    framed = Framing("II0001")
    one = framed([sentence("IIHBT,30,A,0")])
    assert one.startswith(b"UdPbC\0\\s:II0001,n:1*")
    two = framed([sentence("IIALF,2,1"), sentence("IIALF,2,2")])
    lines = two.removeprefix(b"UdPbC\0").split(b"\r\n")
    assert [line.split(b"*")[0] for line in lines] == [
        b"\\g:1-2-1,s:II0001,n:2",
        b"\\g:2-2-1,s:II0001,n:3",
        b"",
    ]
    for line in lines[:2]:
        tag, rest = split_tags(line)
        assert tag.source == b"II0001"
        assert said_by(rest).startswith(b"IIALF,2")
    assert Framing()([b"$A*00", b"$B*00"]) == b"$A*00\r\n$B*00\r\n"


def test_every_cause_has_a_number_of_its_own_and_a_category() -> None:
    assert set(IDENTIFIERS) == set(CAUSES)
    assert len(set(IDENTIFIERS.values())) == len(CAUSES)
    assert all(10_000 <= number <= 9_999_999 for number in IDENTIFIERS.values())
    assert {cause for cause in CAUSES if category(cause) == "A"} == LOOK_FIRST


def test_numbers_are_the_same_after_a_restart() -> None:
    stay = stay_with()
    one, other = Numbers(stay), Numbers(stay)
    assert one.instance("") == other.instance("") == 1
    assert len({one.instance(name) for name in ("", "a", "b", "a")}) == 3
    local = {one.local(key) for key in (("stretch", "a"), ("stretch", "b"), ("gangway", ""))}
    assert len(local) == 3
    many = [one.local(("stretch", str(n))) for n in range(2000)]
    assert max(number for number in many if number is not None) == 999
