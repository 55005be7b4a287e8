"""The form for a note into the record."""

from typing import Final

from alongside.actions import Note
from alongside.screens.form import Form
from alongside.screens.refusal import Refused
from alongside.screens.view import View
from alongside.wording.safe import safe

MOST: Final = 500
"""Characters of a note."""


class NoteForm(Form):
    fields = (("text", "Note", 0), ("by", "initials", 6))
    asks_first = False

    def hint(self, view: View) -> str:
        marks = view.watch.instructing is not None
        return f"Enter {'marks this moment with it' if marks else 'records it with the time'}; Esc leaves"

    def read(self, view: View, values: dict[str, str]) -> tuple[Note, str]:
        text = safe(values["text"]).strip()
        if not text:
            raise Refused("the note is empty")
        if len(text) > MOST:
            raise Refused(f"the note has {len(text)} characters, expected at most {MOST}: write two")
        did = "note entered" if view.watch.instructing is None else f"marked: {text}"
        return Note(text, values["by"].strip()), did
