"""The form that asks what if."""

from alongside.screens.form import Form
from alongside.screens.question import EXPECTED, Question, question
from alongside.screens.refusal import Refused
from alongside.screens.view import View


class WhatIfForm(Form):
    fields = (("what", "What if", 0),)
    asks_first = False

    def hint(self, view: View) -> str:
        return EXPECTED

    def read(self, view: View, values: dict[str, str]) -> tuple[Question, str]:
        asked = question(values["what"], view.stay)
        forecast = view.watch.forecast
        if forecast is None or forecast.reason or forecast.present is None:
            raise Refused("nothing known of the hours ahead")
        return asked, "calculating"
