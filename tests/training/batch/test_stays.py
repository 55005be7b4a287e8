"""Which stays are meant: a file with its log beside it, a pair, a folder."""

from pathlib import Path

import pytest

from alongside.errors import WrongInput
from alongside.training.batch.stays import Given, stays_of


def touched(folder: Path, *names: str) -> list[Path]:
    for name in names:
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).touch()
    return [folder / name for name in names]


def test_a_stay_file_has_its_log_beside_it_the_plain_one_first(tmp_path: Path) -> None:
    quay, packed, _, jetty, jetty_log = touched(
        tmp_path, "quay.yaml", "quay.log.gz", "other.log", "jetty.yml", "jetty.log"
    )
    assert stays_of([str(quay), str(jetty)]) == (
        ("quay", Given(quay, packed)),
        ("jetty", Given(jetty, jetty_log)),
    )
    (plain,) = touched(tmp_path, "quay.log")
    assert stays_of([str(quay)]) == (("quay", Given(quay, plain)),)


def test_a_stay_file_without_a_log_is_a_stay_all_the_same(tmp_path: Path) -> None:
    (quay,) = touched(tmp_path, "quay.yaml")
    assert stays_of([str(quay)]) == (("quay", Given(quay, None)),)


def test_a_pair_is_named_after_both_where_they_have_other_names(tmp_path: Path) -> None:
    quay, january, same = touched(tmp_path, "quay.yaml", "a/january.log.gz", "b/quay.log")
    assert stays_of([f"{quay}={january}", f"{quay}={same}"]) == (
        ("quay.january", Given(quay, january)),
        ("quay", Given(quay, same)),
    )


def test_a_file_whose_name_holds_the_sign_is_no_pair(tmp_path: Path) -> None:
    odd, log = touched(tmp_path, "a=b.yaml", "a=b.log")
    assert stays_of([str(odd)]) == (("a=b", Given(odd, log)),)


def test_a_folder_gives_those_with_a_log_by_name_and_none_below(tmp_path: Path) -> None:
    touched(tmp_path, "c.yaml", "c.log", "a.yaml", "a.log.gz", "b.yaml", "d/e.yaml", "d/e.log", "notes.txt")
    assert [name for name, _ in stays_of([str(tmp_path)])] == ["a", "c"]


def test_the_same_stay_twice_is_one(tmp_path: Path) -> None:
    quay, _ = touched(tmp_path, "quay.yaml", "quay.log")
    assert len(stays_of([str(quay), str(tmp_path), str(quay)])) == 1


@pytest.mark.parametrize("second", ["other/quay.yaml", "other/QUAY.yaml"])
def test_two_of_one_name_are_refused(tmp_path: Path, second: str) -> None:
    """A disk may not tell letters apart."""
    given = touched(tmp_path, "quay.yaml", second)
    with pytest.raises(WrongInput, match="different names"):
        stays_of([str(each) for each in given])


def test_a_folder_without_any_is_refused(tmp_path: Path) -> None:
    touched(tmp_path, "quay.yaml")
    with pytest.raises(WrongInput, match="log beside it"):
        stays_of([str(tmp_path)])


@pytest.mark.parametrize("argument", ["=quay.log", "quay.yaml="])
def test_half_a_pair_is_refused(argument: str) -> None:
    with pytest.raises(WrongInput, match="STAY=LOG"):
        stays_of([argument])
