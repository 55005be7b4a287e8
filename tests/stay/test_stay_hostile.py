"""Whatever a file holds, reading it ends soon, with a stay or with faults."""

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from alongside.errors import Fault, StayFaults, WrongInput
from alongside.stay.read import read_stay

EXAMPLE = (Path(__file__).parent / "example.yaml").read_text()
SAME_FOLDER = settings(suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)


def faults_if_any(path: Path) -> tuple[Fault, ...]:
    """Anything else that reading raises fails the test."""
    try:
        read_stay(path)
    except StayFaults as told:
        return told.faults
    return ()


def first_fault(tmp_path: Path, raw: bytes) -> tuple[int, int, str]:
    path = tmp_path / "stay.yaml"
    path.write_bytes(raw)
    with pytest.raises(StayFaults) as caught:
        read_stay(path)
    fault = caught.value.faults[0]
    return fault.line, fault.column, fault.problem


BOMB = "a: &a [x, x, x, x, x, x, x, x, x, x]\n" + "".join(
    f"{name}: &{name} [{', '.join([f'*{last}'] * 10)}]\n"
    for last, name in zip("abcdefghijklmnop", "bcdefghijklmnopq", strict=True)
)


@pytest.mark.parametrize(
    ("raw", "line", "column", "words"),
    [
        pytest.param(b"", 1, 1, "nothing in this file", id="empty"),
        pytest.param(b"# only a remark\n", 1, 1, "nothing in this file", id="remark"),
        pytest.param(b"- a\n- b\n", 1, 1, "a list, expected a table", id="list"),
        pytest.param(b"42\n", 1, 1, "'42', expected a table", id="scalar"),
        pytest.param(b"name: a\nship: \x00\n", 2, 7, "byte 0x00 is not text", id="zero byte"),
        pytest.param(b"\x89PNG\r\n\x1a\n", 1, 1, "byte 0x89 is not text", id="picture"),
        pytest.param("name: Ærø".encode("latin-1"), 1, 7, "byte 0xc6 is not text", id="latin"),
        pytest.param(b"a" * 2_000_001, 1, 1, "larger than 2 MB", id="huge"),
        pytest.param(b"ship:\n\tname: a\n", 2, 1, "a tab, expected spaces", id="tab"),
        pytest.param(b"name: 'a\nship: b\n", 3, 1, "begun in line 1", id="open quote"),
        pytest.param(b"name: a: b\n", 1, 8, "mapping values are not allowed", id="two colons"),
        pytest.param(b"a: 1\n---\nb: 2\n", 2, 1, "single document", id="two documents"),
        pytest.param(b"name: *nobody\n", 1, 7, "undefined alias", id="no anchor"),
        pytest.param(b"name: !!python/name:os.system x\n", 1, 7, "expected a value without a tag", id="tag"),
        pytest.param(b"ship: &s {name: *s}\n", 1, 7, "contains itself", id="recursion"),
        pytest.param(BOMB.encode(), 1, 1, "more than 100000 values", id="alias bomb"),
    ],
)
def test_what_is_no_stay_file(tmp_path: Path, raw: bytes, line: int, column: int, words: str) -> None:
    at_line, at_column, problem = first_fault(tmp_path, raw)
    assert (at_line, at_column) == (line, column)
    assert words in problem


@pytest.mark.parametrize("opening", ["[", "{a: ", "- ", "? "])
def test_nested_without_end(tmp_path: Path, opening: str) -> None:
    assert first_fault(tmp_path, (opening * 100_000).encode())[0] == 1


def test_no_control_character_of_a_file_reaches_the_terminal(tmp_path: Path) -> None:
    path = tmp_path / "stay.yaml"
    path.write_text(
        EXAMPLE.replace("loa: 183.0", '"\\e[2J": "\\e[2J"').replace("role: head", 'role: "\\e[1m"')
    )
    with pytest.raises(StayFaults) as caught:
        read_stay(path)
    assert "\x1b" not in str(caught.value)


@SAME_FOLDER
@given(
    st.one_of(
        st.binary(max_size=200), st.text(max_size=200).map(lambda text: text.encode("utf-8", "replace"))
    )
)
def test_anything_at_all_is_refused_in_words(tmp_path: Path, raw: bytes) -> None:
    path = tmp_path / "stay.yaml"
    path.write_bytes(raw)
    with pytest.raises(WrongInput):
        read_stay(path)


SCRAPS = st.one_of(
    st.sampled_from(
        [
            "[]",
            "{}",
            "~",
            "-",
            ":",
            "?",
            "!",
            "&",
            "*",
            "*a",
            "&a",
            "|-",
            ">",
            "'",
            '"',
            "#",
            ",",
            "null",
            ".nan",
            "1e400",
            "-1",
            "0",
            "no",
            "12:30",
            "[[[",
            "}}",
            "<<:",
            "*a",
            "\t",
            "\u2028",
            "0,5",
            "x.yaml",
            ".",
        ]
    ),
    st.text(max_size=8),
)


@pytest.mark.slow
@SAME_FOLDER
@given(st.integers(0, len(EXAMPLE)), st.integers(0, 40), SCRAPS)
def test_a_damaged_file_is_read_or_refused_in_words(tmp_path: Path, at: int, cut: int, scrap: str) -> None:
    path = tmp_path / "stay.yaml"
    path.write_text(EXAMPLE[:at] + scrap + EXAMPLE[at + cut :], encoding="utf-8", errors="replace")
    assert all(fault.line >= 1 and fault.column >= 1 for fault in faults_if_any(path))


WORDS = EXAMPLE.replace("\n", " \n ").split(" ")


@pytest.mark.slow
@SAME_FOLDER
@given(st.integers(0, len(WORDS) - 1), st.integers(0, len(WORDS) - 1))
def test_words_in_each_others_places(tmp_path: Path, one: int, other: int) -> None:
    words = list(WORDS)
    words[one], words[other] = words[other], words[one]
    path = tmp_path / "stay.yaml"
    path.write_text(" ".join(words).replace(" \n ", "\n"))
    assert all(fault.problem for fault in faults_if_any(path))
