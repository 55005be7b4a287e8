"""The second officer's sheet of an invented ship at an invented jetty: what drawings, certificates, tape and paces
give of the stay `configs/product_jetty.yaml`, with the errors that such measuring has. One text is one answer.

Values are the example's, rounded as a plan is read (0.5 m), paced (a step of 0.75 m) or read by eye."""

# ruff: noqa: E501 - as typed

from typing import Final

Sheet = tuple[tuple[str, tuple[str, ...]], ...]
"""Answers by the keys of their questions, in the order in which they are asked."""

JETTY: Final[Sheet] = (
    ("zone", ("+1",)),
    ("ship", ("Orlin Petrel",)),
    ("side", ("port",)),
    # Particulars and stability booklet. The marks by its page of draught marks, four rows of the table.
    ("hull", ("144.5 138 23 12.4",)),
    ("marks", ("133 4",)),
    (
        "booklet",
        (
            "3.0 7222 26.3 217 3.6F",
            "5.0 12602 27.5 237 2.6F",
            "7.0 18202 28.5 254 0.8F",
            "9.0 23977 29.2 267 1.2A",
            "",
        ),
    ),
    # Side area and its middle by the weather criterion; the front by the house, read on the general arrangement.
    ("windage", ("- 1260 8.5 58",)),
    ("on_deck", ("16 24 14.5", "")),
    ("form", ("tanker_loaded",)),
    ("strength", ("",)),
    # Mooring plan: places to half a metre from the aft perpendicular, heights by tape from the deck.
    ("measure", ("ap deck",)),
    (
        "fairleads",
        (
            "F1 140 1.5P 3.0 W1 130 1S 3.6 29t",
            "F2 137 5P 3.0 W2 130 2P 3.6 29t",
            "F3 127 9.5P 3.0 W3 125 1P 3.6 29t",
            "F4 123 10P 3.0 W4 123 1P 3.6 29t",
            "F5 112 11.5P 0.5 W5 117 6.5P 1.2 29t",
            "F6 110 11.5P 0.5 W6 117 4.5P 1.2 29t",
            "A1 22 11.5P 0.5 V1 27 6.5P 1.2 29t",
            "A2 20 11.5P 0.5 V2 27 4.5P 1.2 29t",
            "A3 14 10.5P 3.0 V3 13 1P 3.5 29t",
            "A4 9 9.5P 3.0 V4 10 1P 3.5 29t",
            "A5 -1 5.5P 3.0 V5 8 1.5S 3.5 29t",
            "A6 -3 2P 3.0 V6 6 3S 3.5 29t",
            "",
        ),
    ),
    ("berth", ("Skerrin jetty, outer face",)),
    ("heading", ("008",)),
    ("water", ("9.4",)),
    ("quay", ("- 0.75",)),
    # Over the water by a tape from the hook, tide board at 0.7.
    ("heights", ("water 0.7",)),
    # Paced along the platform and the walkways from the first hook; set back by tape and by eye.
    (
        "bollards",
        (
            "LP1 0 3 7.5 100t",
            "LP2 +24p 3 7.5 100t",
            "MD4 LP2+64p 16 8 100t",
            "MD6 MD4+63p 24 8 120t",
            "MD5 MD4+4p 44 8.5 100t",
            "MD2 LP1-64p 16 8 100t",
            "MD1 MD2-63p 24 8 120t",
            "MD3 MD2+3p 44 8.5 100t",
            "",
        ),
    ),
    ("fenders", ("cone 1.2 -24 -13 31 42",)),
    ("place", ("69 LP1+9",)),
    # Certificates: the wire gives no elongation, the tail's has the five points.
    (
        "ropes",
        ("wire_28 steel 480kN", "nylon_tail nylon double_braid 620kN five 5.5 9.0 12.0 14.6 17.0", ""),
    ),
    ("fast", ("2026-09-12 06:30 0.7 8.2 8.7",)),
    ("tails", ("wire_28 nylon_tail 11",)),
    (
        "lines",
        (
            "1 head F1 MD1 wire_28 5t",
            "2 head F2 MD1",
            "3 breast F3 MD2",
            "4 breast F4 MD3",
            "5 spring F5 LP1",
            "6 spring F6 LP1",
            "7 spring A1 LP2",
            "8 spring A2 LP2",
            "9 breast A3 MD4",
            "10 breast A4 MD5",
            "11 stern A5 MD6",
            "12 stern A6 MD6",
            "",
        ),
    ),
    # The port's tide table, in the ship's clock (+1).
    (
        "tide",
        (
            "2026-09-12 00:10 6.1 06:20 0.7 12:30 6.0 18:45 0.6",
            "2026-09-13 00:55 6.25 07:10 0.5 13:20 6.05 19:30 0.6",
            "",
        ),
    ),
    (
        "cargo",
        (
            "09:30 -3600 600 86",
            "16:00 -3600 600 58; 20:00 900 250 88; 22:30 -1200 300 72; 22:50 -1200 300 72",
            "",
        ),
    ),
    ("gear", ("loading_arms",)),
    ("clearance", ("1.6 1.0 0.6",)),
)


COASTER: Final[Sheet] = (
    ("zone", ("+1",)),
    ("ship", ("Brannoc Wey",)),
    ("side", ("starboard",)),
    ("hull", ("88 84 13 6.3",)),
    ("marks", ("81 2",)),
    ("booklet", ("2.0 1679 9.2 47 43.6", "4.0 3579 9.8 53 42.5", "6.0 5594 10.3 59 40.9", "")),
    ("windage", ("130 520 3.0 38",)),
    ("form", ("cargo_loaded",)),
    ("strength", ("",)),
    # By tape from the stem, which is 86 m forward of the aft perpendicular, and from the deck.
    ("measure", ("stem deck 2",)),
    (
        "fairleads",
        (
            "F1 2.5 2S 2.3 W1 8 1S 2.7 13.3t",
            "F2 12 6S 2.3",
            "F3 15 6S 2.3",
            "A1 74 6S 1.8",
            "A2 78 6S 1.8",
            "A3 87 3.5S 1.8 V1 82.5 1S 2.2 13.3t",
            "",
        ),
    ),
    ("berth", ("Fenwater grain quay",)),
    ("heading", ("265",)),
    ("water", ("5.2",)),
    # Fenders stand 0.5 m out from the edge. Heights over the water by tape, tide board at 4.7.
    ("quay", ("0.5 0.8",)),
    ("heights", ("water 4.7",)),
    (
        "bollards",
        (
            "Q1 0 3 1.4 30t",
            "Q2 +42p 5.5",
            "Q3 +35p 1",
            "Q4 +10p",
            "Q5 +38p 5.5",
            "Q6 +45p 3",
            "",
        ),
    ),
    # Tyres on chains: she is said to lie on 500 kN/m in the stay with full data.
    ("fenders", ("tyre 1.4 36 52 68 84 98",)),
    ("place", ("44 Q3+6",)),
    ("ropes", ("polyprop_40 polypropylene 22t half 12", "")),
    ("fast", ("2026-06-16 07:10 4.7 2.6 3.3",)),
    ("tails", ("",)),
    (
        "lines",
        (
            "1 head F1 Q6 polyprop_40 2t",
            "2 breast F2 Q5",
            "3 spring F3 Q4",
            "4 spring A1 Q3",
            "5 breast A2 Q2",
            "6 stern A3 Q1",
            "",
        ),
    ),
    ("tide", ("2026-06-16 00:50 0.6 07:00 4.7 13:15 0.7 19:25 4.9 01:40 0.5 07:50 4.75", "")),
    ("cargo", ("09:00 720 180 36; 14:00 720 180 54; 19:00 720 180 46", "")),
    ("gear", ("bulk_conveyor",)),
    ("clearance", ("1.2 0.8 0.4",)),
)
"""Of the stay `configs/coaster_quay.yaml`."""


def typed(sheet: Sheet) -> list[str]:
    """Return all answers in their order, as they are typed."""
    return [text for _key, texts in sheet for text in texts]
