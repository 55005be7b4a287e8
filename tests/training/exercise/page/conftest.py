"""A debrief with much in it, made once: an hour of flood with names as they might come from outside, a lost
gauge, a gust, a brake and a line that parts; orders that help, that do not, and that are not carried out."""

import pytest

from alongside.actions import Acknowledge, CallOut, Done, ReadByHand, TendLine
from alongside.training.exercise.conduct import Attempt
from alongside.training.exercise.debrief import Debrief, debrief
from alongside.training.exercise.file import read_exercise
from tests.berth import START
from tests.reports.stay.conftest import NASTY
from tests.training.exercise.lived import BALANCED, END, flood, second, write_exercise

TROUBLE = f"""\
  - {{kind: silent, channel: draught_fwd, at: {second(1800)}, seconds: 600}}
  - {{kind: gust, at: {second(2400)}, seconds: 600, speed_kn: 45, from_deg: 180}}
  - {{kind: tide_surge, at: {second(2420)}, seconds: 900, metres: 0.3}}
  - {{kind: parted_line, line: "1", at: {second(3000)}}}
"""
QUOTED = NASTY.replace('"', '\\"')
MORE = f"""\
story: "Keep her alongside. {QUOTED}"
aims: "{QUOTED}"
level: 2
crew: {{hands: 2, hands_per_line: 2, minutes_per_line: 4, walk_ms: 2}}
pass_mark: 60
expected:
  - {{deed: call, whom: engineer, channel: draught_fwd, since: {second(1800)}, by: {second(2200)},
     why: "{QUOTED}"}}
"""
ORDERS = (
    Done(START + 1300.0, TendLine("2", paid_out=0.4, by=NASTY)),
    Done(START + 1310.0, TendLine("1", paid_out=-0.1, by="TK")),
    Done(START + 1320.0, TendLine("3", paid_out=0.05, by="TK")),
    Done(START + 1400.0, Acknowledge("stretch", "2", "TK")),
    Done(START + 1900.0, CallOut("engineer", "draught_fwd", by="TK")),
    Done(START + 1960.0, ReadByHand((("draught_fwd", 4.0),), START + 1960.0, by="TK")),
    Done(START + 3400.0, TendLine("3", paid_out=0.2, by="TK")),
)
ATTEMPT = Attempt(
    NASTY[:80], exam=True, begun=START, ended=START + 1020.0, left_at=START + END, fastest=20.0, refused=2
)


@pytest.fixture(scope="session")
def debriefed(tmp_path_factory: pytest.TempPathFactory) -> Debrief:
    path = write_exercise(tmp_path_factory.mktemp("page"), TROUBLE, BALANCED, flood, more=MORE)
    text = path.read_text(encoding="utf-8").replace('"Small exercise"', f'"{QUOTED}"')
    path.write_text(text, encoding="utf-8")
    return debrief(read_exercise(path), ORDERS, attempt=ATTEMPT)


@pytest.fixture(scope="session")
def unknown(tmp_path_factory: pytest.TempPathFactory) -> Debrief:
    """One with nothing put in and nothing done, by nobody knows whom."""
    return debrief(read_exercise(write_exercise(tmp_path_factory.mktemp("calm"), "")), ())
