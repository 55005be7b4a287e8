"""The words beside a question: what is typed, where to find it, what Enter does."""

from alongside.reports.new_stay.entry import TAKE_OUT, Standing
from alongside.wording.safe import safe


def enter_words(here: Standing) -> str:
    """Return what Enter alone does at a prompt; "" where an answer is needed."""
    if here.at is None:
        return ""
    if here.typed is not None and not here.refusal:
        default = here.at.question.default(here.sheet)
        kept = here.typed or (default.text if default and not here.before else "the end of the rows")
        out = f"; {TAKE_OUT} takes the row out" if here.at.question.rows and here.typed else ""
        return f"keeps: {safe(kept)}{out}"
    if here.default is not None:
        return f"takes: {safe(here.default.text)} ({safe(here.default.source)})"
    return "ends" if here.may_end else ""


def prompt_words(here: Standing) -> str:
    """Return what stands before the answer: the title, and which row."""
    if here.at is None:
        return ""
    question = here.at.question
    return f"{question.title} {len(here.before) + 1}" if question.rows else question.title
