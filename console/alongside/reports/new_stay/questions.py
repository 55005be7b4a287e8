"""The one list of questions, in the order in which they are put."""

from typing import Final

from alongside.reports.new_stay.asked_berth import BERTH_QUESTIONS, PLACE_QUESTION
from alongside.reports.new_stay.asked_fairleads import FAIRLEAD_QUESTIONS
from alongside.reports.new_stay.asked_lines import LINE_QUESTIONS
from alongside.reports.new_stay.asked_plans import FIRST_QUESTIONS, PLAN_QUESTIONS
from alongside.reports.new_stay.asked_ropes import ROPE_QUESTIONS
from alongside.reports.new_stay.asked_ship import SHIP_QUESTIONS
from alongside.reports.new_stay.question import Question

QUESTIONS: Final[tuple[Question, ...]] = (
    *FIRST_QUESTIONS,
    *SHIP_QUESTIONS,
    *FAIRLEAD_QUESTIONS,
    *BERTH_QUESTIONS,
    PLACE_QUESTION,
    *ROPE_QUESTIONS,
    *LINE_QUESTIONS,
    *PLAN_QUESTIONS,
)

BY_KEY: Final = {each.key: each for each in QUESTIONS}
