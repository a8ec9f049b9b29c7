"""One colour and one pattern for each quantity, the same in every chart.

Source: Okabe & Ito (2008), *Color Universal Design*, a palette that people with any kind of
colour vision can tell apart.
"""

from dataclasses import dataclass

ORANGE, SKY_BLUE, GREEN = "#E69F00", "#56B4E9", "#009E73"
YELLOW, BLUE, VERMILION, PURPLE = "#F0E442", "#0072B2", "#D55E00", "#CC79A7"
GREY = "#7A7A7A"


@dataclass(frozen=True, slots=True)
class Ink:
    """How a quantity is drawn: a colour, and a pattern that says the same in grey.

    ``pattern`` is a bar's hatch ("" plain, "/", ".", "x", "-", "|") or a line's dash ("" solid).
    """

    colour: str
    pattern: str = ""


SOLAR = Ink(ORANGE)
DIRECT = Ink(GREEN)
BATTERY = Ink(PURPLE, "x")
CAR = Ink(BLUE, "-")
CYLINDER = Ink(VERMILION, "/")
EXPORT = Ink(SKY_BLUE, ".")
SPILLED = Ink(GREY, "\\")
BOUGHT = Ink(YELLOW, "|")
GAS = Ink(GREY)
DEMAND = Ink(GREY, "dash")
LOSS = Ink(VERMILION, "/")
GAIN = Ink(GREEN)
LEVEL = Ink(ORANGE)
MONEY = Ink(BLUE)
MONEY_DISCOUNTED = Ink(PURPLE, "dash")
MONEY_LOAN = Ink(VERMILION, "dot")
CARBON = Ink(GREEN)
CARBON_MONTHLY = Ink(BLUE, "dash")
CARBON_FILE = Ink(VERMILION, "dashdot")
CARBON_HELD = Ink(GREY, "dot")
CAUTIOUS = Ink(VERMILION, "/")
HOPEFUL = Ink(SKY_BLUE)
MIDDLE = Ink(BLUE, ".")
SURVEYED = Ink(GREY, "dot")
