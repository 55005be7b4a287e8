"""What may be entered of a rope, and what is said of the rest."""

from datetime import date
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from alongside.errors import StayFaults, WrongInput
from alongside.record.ropes.entry import DEEDS, FINDINGS, Entry, read_entries, serial_of, typed_entry
from alongside.reports.manual_pages import page
from alongside.units import G

TODAY = date(2026, 11, 29)


def read(folder: Path, text: str) -> tuple[Entry, ...]:
    path = folder / "entries.yaml"
    path.write_text(text, encoding="utf-8")
    return read_entries(path, TODAY)


def faults(folder: Path, text: str) -> list[str]:
    with pytest.raises(StayFaults) as wrong:
        read(folder, text)
    return [str(fault).partition("entries.yaml:")[2] for fault in wrong.value.faults]


def test_a_file_of_entries(tmp_path: Path) -> None:
    entries = read(
        tmp_path,
        """\
format: 1
day: 2026-11-20
by: TK
entries:
  - {serial: PL-2207, deed: certificate, what: rope, mbl_kn: 65 t, length_m: 220, made: , maker: }
  - {serial: PL-2207, deed: inspected, findings: [chafed, cut yarns], residual_strength: 0.82, how: judged}
  - {serial: " PL  2208 ", deed: fitted, where: winch 3, day: 2026-01-05, by: AB}
""",
    )
    assert entries == (
        Entry("PL-2207", "certificate", "2026-11-20", "TK",
              {"what": "rope", "mbl_kn": 65 * G, "length_m": 220.0}),
        Entry("PL-2207", "inspected", "2026-11-20", "TK",
              {"findings": ["chafed", "cut yarns"], "residual_strength": 0.82, "how": "judged"}),
        Entry("PL 2208", "fitted", "2026-01-05", "AB", {"where": "winch 3"}),
    )  # fmt: skip


def test_the_example_of_the_manual(tmp_path: Path) -> None:
    text = page("ropes").split("```yaml\n")[1].split("```")[0]
    deeds = [(each.serial, each.deed, each.day) for each in read(tmp_path, text)]
    assert deeds == [
        ("PL-2207", "certificate", "2026-11-20"),
        ("PL-2207", "fitted", "2026-01-05"),
        ("PL-2207", "inspected", "2026-11-20"),
    ]
    assert all(f"`{word}`" in page("ropes") for word in (*DEEDS, *FINDINGS)), "each has its place there"


def test_every_fault_at_its_place(tmp_path: Path) -> None:
    wrong = faults(
        tmp_path,
        """\
format: 1
by: TK
entries:
  - {serial: A, deed: inspected, day: 2026-11-31, findings: [chafd]}
  - {serial: A, deed: inspected, day: 2026-11-30, findings: [chafed]}
  - {serial: A, deed: cropped, day: 2026-11-20, where: aft}
  - {serial: A, deed: inspected, day: 2026-11-20, findings: [no damage, chafed], residual_strength: 0.8}
  - {serial: A, deed: inspected, day: 2026-11-20, findings: [chafed], next: 2026-11-01}
  - {serial: A, deed: fitted, where: aft}
  - {serial: A, deed: certificate, day: 2026-11-20}
  - {serial: A, deed: certificate, day: 2026-11-20, mbl_kn: 5, ldbf_kn: 6, maid: x}
  - {serial: A, deed: renamed, day: 2026-11-20, to: A}
""",
    )
    assert [row.split(":")[0] for row in wrong] == [
        "4",
        "4",
        "5",
        "6",
        "6",
        "7",
        "7",
        "8",
        "9",
        "10",
        "11",
        "12",
    ]
    for row, words in zip(
        wrong,
        ["'2026-11-31' is no day", "'chafd' is not known here, expected no damage, chafed",
         "2026-11-30 is yet to come (today is 2026-11-29 at the latest", "missing, expected cut_m",
         "where does not belong to cropped, expected with cropped only cut_m, length_m",
         "no damage beside damage", "residual_strength without how, expected how beside it",
         "2026-11-01 is not after the inspection", "day: missing, expected a day such as",
         "expected at least one value of the certificate", "unknown key", "the same serial number"],
        strict=True,
    ):  # fmt: skip
        assert words in row, row


@pytest.mark.parametrize(
    "text", ["", "format: 1\n", "format: 1\nentries:\n", "- 1", "entries: {a: 1}", "\x00"]
)
def test_what_is_no_file_of_entries(text: str, tmp_path: Path) -> None:
    assert all("expected" in fault for fault in faults(tmp_path, text))


@given(st.text(max_size=80), st.text(max_size=30))
@settings(deadline=None, max_examples=200)
def test_any_typed_text_is_an_entry_or_refused(serial: str, note: str) -> None:
    try:
        entry = typed_entry(serial, "inspected", {"by": "TK", "findings": "chafed", "note": note}, TODAY)
    except WrongInput as error:
        said = str(error)
    else:
        said = "expected" if entry.serial == serial_of(serial) != "" else "an entry without a serial number"
    assert "expected" in said


def test_what_is_typed() -> None:
    entry = typed_entry("0042", "inspected", {"by": "TK", "findings": "chafed, eye worn"}, TODAY)
    assert entry == Entry("0042", "inspected", "2026-11-29", "TK", {"findings": ["chafed", "eye worn"]})
    with pytest.raises(WrongInput) as wrong:
        typed_entry("0042", "inspected", {"by": "TK", "findings": "fine", "how": "seen"}, TODAY)
    assert wrong.value.rows[0].startswith("findings[0]: 'fine' is not known here, expected no damage,")
    with pytest.raises(WrongInput, match="deed: 'looked' is not known here, expected certificate, fitted"):
        typed_entry("0042", "looked", {"by": "TK"}, TODAY)


def test_serial_numbers_that_are_one() -> None:
    """Composed and decomposed letters, blanks around and within."""
    assert serial_of(" Tau\u0308 7 ") == serial_of("Ta\u00fc  7")
    assert serial_of("pl-1") != serial_of("PL-1")


def test_findings_are_plain_words() -> None:
    assert all(word == word.lower() and "," not in word for word in FINDINGS)
