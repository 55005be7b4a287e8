"""The form for the wind of a weather forecast."""

from alongside.actions import Correct, ForecastWind
from alongside.errors import WrongInput
from alongside.forecast.expected.wind_forecast import OF_FILE, WIND_FORECAST
from alongside.screens.form import Form
from alongside.screens.outcomes import Entered
from alongside.screens.reading_form import UNDO
from alongside.screens.refusal import Refused
from alongside.screens.view import View
from alongside.stay.wind_means import GUST, OVER
from alongside.wording.by_hand import forecast_text
from alongside.wording.figures import speed_text
from alongside.wording.safe import safe
from alongside.wording.typed_wind import forecast_of, forecast_time


class WindForm(Form):
    follows = True
    fields = (
        ("at", "Wind forecast at", 8),
        ("mean", "mean", 7),
        ("gust", "gust", 7),
        ("come", "from", 5),
        ("over", "mean over", 7),
        ("by", "initials", 6),
    )

    def start_values(self, view: View) -> dict[str, str]:
        return {"over": next(iter(OVER))}

    def hint(self, view: View) -> str:
        unit = view.stay.display.speed
        return f"at: 18:00; speeds in {unit} or with kn, m/s behind; {UNDO} at: takes the last back"

    def read(self, view: View, values: dict[str, str]) -> tuple[ForecastWind | Correct, str]:
        by = safe(values["by"]).strip()
        if not by:
            raise Refused("no initials; expected those of who enters it")
        if values["at"].strip().lower() == UNDO:
            return _undone(view, by)
        display = view.stay.display
        try:
            at = forecast_time(values["at"], view.watch.time, display)
            parts = values["mean"], values["gust"], values["come"], values["over"]
            forecast = forecast_of(at, *parts, by, display)
        except WrongInput as error:
            raise Refused(str(error)) from None
        figures = forecast.at, forecast.mean_ms, forecast.gust_ms, forecast.from_deg
        return forecast, f"wind forecast: {forecast_text(*figures, display)}, 30 s mean"

    def effect(self, view: View, entered: Entered) -> str:
        """Return the wind that counts in the hours ahead."""
        if not isinstance(entered, ForecastWind):
            return ""
        display, by_gust = view.stay.display, GUST * entered.gust_ms
        if by_gust > entered.mean_ms:
            return f"Counts as {speed_text(by_gust, display)}: {GUST:g} of the gust"
        return f"Counts as {speed_text(entered.mean_ms, display)}"


def _undone(view: View, by: str) -> tuple[Correct, str]:
    present = view.watch.present
    typed = [] if present is None else [each for each in present.wind_forecast if each.by != OF_FILE]
    if not typed:
        raise Refused("no forecast of the wind was entered: nothing to take back")
    last = typed[-1]
    text = forecast_text(last.at, last.mean_ms, last.gust_ms, last.from_deg, view.stay.display)
    return Correct(WIND_FORECAST, by), f"wind forecast taken back: {text}"
