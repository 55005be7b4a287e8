"""What a feed reads of registers, written as it stands on record: a sentence of the program's own."""

from collections.abc import Sequence
from dataclasses import dataclass

from alongside.errors import WrongInput
from alongside.feeds.registers import TALKER, line_of_registers
from alongside.feeds.sentence import tag_name
from alongside.readings import Floats
from alongside.stay.model import Feed, Register, Source, Stay
from alongside.stay.registers import registers_of
from alongside.training.simulate.by_field import PlacedLine
from alongside.training.simulate.sentences import Bodies, Texts
from alongside.training.simulate.written import writings


def register_sentences(stay: Stay, feed: Feed) -> list[PlacedLine]:
    """Return the sentences of the channels of a feed that are read of registers, one for each."""
    return [
        _line(f"{stay.file}: feeds.{feed.name}.channels.{source.channel}", source, source.register)
        for source in feed.channels
        if source.register is not None
    ]


def _line(where: str, source: Source, register: Register) -> PlacedLine:
    written = writings(source, [source.unit_factor or 1.0])
    inputs = ((source, (f"register {register.address}",), written),)
    write = _Written(where, source.channel, register)
    return PlacedLine(inputs, ((source.channel, 0),), write, plain=False)


@dataclass(frozen=True, slots=True)
class _Written:
    where: str
    channel: str
    register: Register

    def __call__(self, _time: Floats, columns: Sequence[Texts]) -> Bodies:
        return [None if text is None else self._body(text) for text in columns[0]]

    def _body(self, text: str) -> str:
        """Return the sentence of a number; of what is none, one without registers."""
        try:
            number = float(text)
        except ValueError:
            return f"{TALKER}XDR,G,{text},,{tag_name(self.channel).decode()}"
        try:
            values = registers_of(number, self.register.type, self.register.order)
        except (OverflowError, ValueError) as error:
            raise WrongInput(f"{self.where}: {text} in registers of {self.register.type}: {error}") from error
        line = line_of_registers(self.channel, self.register, values)
        return line[1 : line.rindex(b"*")].decode("ascii")
