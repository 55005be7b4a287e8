"""What is asked with key i is answered in the words of the command, and stands as bad as it is."""

from pathlib import Path

import pytest

from alongside.cli.main import main
from alongside.cycle.picture import Picture
from alongside.screens.question import Answer, answered, question
from alongside.screens.refusal import Refused
from alongside.stay.stage import Stage
from tests.screens.planned import before_arrival

STAY = Path(__file__).parents[2] / "configs" / "river_quay.yaml"
SHIP = "135x22x6 at 60 m"


@pytest.fixture(scope="module")
def picture() -> Picture:
    return before_arrival(STAY)


def asked(picture: Picture, text: str) -> Answer:
    return answered(question(text, picture.stay), picture)


@pytest.mark.parametrize(
    ("typed", "command"),
    [
        (f"passing {SHIP} 8.5 kn", ["passing", "--ship", f"{SHIP} 8.5 kn"]),
        (f"passing {SHIP} 12 kn", ["passing", "--ship", f"{SHIP} 12 kn"]),
        (f"passing {SHIP} 8.5 kn, peak 2=3.5 to 12 at 7 kn",
         ["passing", "--ship", f"{SHIP} 8.5 kn", "--peak", "2=3.5 to 12", "--seen-at", "7kn"]),
        ("wave 30 to 40 s", ["ranging", "--wave", "30 to 40"]),
        ("farther bollard", ["farther", "--no-rounds"]),
        ("leaving", ["leaving"]),
        pytest.param("one more line", ["one-more", "--no-rounds"], marks=pytest.mark.slow),
    ],
)  # fmt: skip
def test_the_words_are_those_of_the_command(
    picture: Picture, typed: str, command: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    rows = [row for row in asked(picture, typed).rows if not row.startswith("Dotted on the plan")]
    name, *options = command
    assert main([name, str(STAY), *options]) == 0
    said = capsys.readouterr().out.splitlines()
    if name == "passing":
        said = said[2:]  # the ship, which stands in the head of the page
    assert [row for row in rows if row] == [row for row in said if row]


@pytest.mark.parametrize(
    ("typed", "stage"),
    [
        (f"passing {SHIP} 3 kn", Stage.NORMAL),
        (f"passing {SHIP} 8.5 kn", Stage.WARNING),  # off fenders, no limit passed
        (f"passing {SHIP} 12 kn", Stage.WARNING),  # not known
        (f"passing {SHIP} 3 kn, peak 2=3.5 to 12 at 2 kn", Stage.WARNING),  # by the peak alone
        ("passing 135x22x6 at 25 m 10 kn", Stage.ALARM),  # as computed
    ],
)
def test_it_stands_as_bad_as_it_is(picture: Picture, typed: str, stage: Stage) -> None:
    assert asked(picture, typed).stage is stage


def test_leaving_is_asked_alone(picture: Picture) -> None:
    with pytest.raises(Refused, match="expected leaving"):
        question("leaving at 06:00", picture.stay)
