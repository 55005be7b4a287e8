"""For which moment and in which wind a question was answered, as it stands below the answer."""

import pytest

from alongside.cli.main import main

STAY, LOG = "configs/product_jetty.yaml", "replay_logs/product_jetty.log.gz"
PASSES = ["--ship", "220x32x9.5 at 100 m 6 kn depth 14"]


@pytest.mark.slow
@pytest.mark.parametrize(
    ("asked", "words"),
    [
        (["leaving", STAY], "2026-09-12 06:30 +0100, wind 9 kn from 070°\n"),
        (["passing", STAY, *PASSES], "Asked for 2026-09-12 06:30 +0100 by the plan, wind 9 kn from 070°.\n"),
        (["ranging", STAY], "Asked for 2026-09-12 06:30 +0100 by the plan, wind 9 kn from 070°.\n"),
        (["leaving", STAY, "--wind", "0kn from 0"], "2026-09-12 06:30 +0100, in a calm\n"),
    ],
)  # fmt: skip
def test_an_answer_says_for_when_and_for_which_wind(
    asked: list[str], words: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(asked) == 0
    assert words in capsys.readouterr().out


@pytest.mark.slow
def test_what_was_measured_is_not_by_the_plan(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["passing", STAY, LOG, "--at", "2026-09-12T06:10:00Z", *PASSES]) == 0
    said = [row for row in capsys.readouterr().out.splitlines() if row.startswith("Asked for ")]
    assert len(said) == 1
    assert said[0].startswith("Asked for 2026-09-12 07:10 +0100, wind ")
