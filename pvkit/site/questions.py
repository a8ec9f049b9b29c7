"""The survey's questions, in the order one walks round a house; sheet and command ask the same."""

from dataclasses import dataclass

from pvkit.tables import parts


@dataclass(frozen=True, slots=True)
class Question:
    """One question of the survey.

    Parameters
    ----------
    key : dotted key of the site file; ``roof`` and ``array`` mean the one being asked about
    words : the question
    hint : how to find the answer, and its unit
    may_skip : whether it may be left empty, for the default or for "none"
    only_if : ``key=value`` that must have been answered for the question to make sense, "" always
    """

    key: str
    words: str
    hint: str
    may_skip: bool = True
    only_if: str = ""


QUOTATION = "costs.items"
PLACE = (
    Question("site.name", "What shall the job be called?", "a name you will know again", False),
    Question("site.latitude", "Latitude?", "degrees north, from a map, like 52.9", False),
    Question("site.longitude", "Longitude?", "degrees east, so west is negative, like -1.2", False),
    Question("site.altitude_m", "Height above sea level?", "metres, from a map"),
    Question("site.terrain", "What does the wind cross to get here?", "sea, country or town"),
)
ROOF = (
    Question("roof.name", "What shall the roof be called?", 'like "south slope"', False),
    Question("roof.kind", "Flat or pitched?", "flat or pitched", False),
    Question("roof.tilt_deg", "How steep is it?", "degrees from level, with an inclinometer", False,
             only_if="roof.kind=pitched"),
    Question("roof.azimuth_deg", "Which way does it face?",
             "degrees from true north by compass: 180 is south; flat: the way its long side faces",
             False),
    Question("roof.width_m", "How wide is it?", "metres across the slope", False),
    Question("roof.depth_m", "How deep is it?", "metres up the slope, along the tiles", False),
    Question("roof.height_m", "How high is its lower edge?", "metres above ground"),
    Question("roof.parapet_m", "How high is the upstand round it?", "metres, 0 for none",
             only_if="roof.kind=flat"),
)  # fmt: skip
ARRAY = (
    Question("array.module", "Which panel?", "one of: " + ", ".join(parts("modules")), False),
    Question("array.count", "How many panels?", "a whole number", False),
    Question("array.tilt_deg", "At what tilt do they stand?",
             "degrees from level, 10 to 15 is usual", only_if="roof.kind=flat"),
    Question("array.azimuth_deg", "Which way do they face?", "degrees from north, 180 is south",
             only_if="roof.kind=flat"),
    Question("array.optimisers", "An optimiser on each panel?", "yes or no"),
)  # fmt: skip
ELECTRICAL = (
    Question("inverter.part", "Which inverter?", "one of: " + ", ".join(parts("inverters")), False),
    Question("cables.dc_length_m", "How far is it from panels to inverter?", "metres of cable"),
    Question("cables.ac_length_m", "How far from inverter to meter?", "metres of cable"),
)
HOME = (
    Question("home.yearly_kwh", "How much electricity in a year?", "kWh, from the bills"),
    Question("home.day", "How is a weekday spent?", "out, half or in"),
    Question("home.occupants", "How many people live here?", "a number"),
    Question("hot_water.cylinder_litres", "How large is the hot-water cylinder?",
             "litres; leave empty if there is none"),
    Question("hot_water.diverter", "Is spare solar to heat the water?", "yes or no",
             only_if="hot_water.cylinder_litres"),
)  # fmt: skip
PRICES = (
    Question("tariff.import_gbp_per_kwh", "What does a kWh cost by day?", "pounds, 0.26 for 26 p"),
    Question("tariff.standing_gbp_per_day", "What is the standing charge?", "pounds a day"),
    Question("tariff.export_gbp_per_kwh", "What is paid for a kWh exported?", "pounds"),
    Question("tariff.gas_gbp_per_kwh", "What does a kWh of gas cost?", "pounds",
             only_if="hot_water.cylinder_litres"),
    Question(QUOTATION, "What is the price of the quotation?",
             "pounds in all; leave empty for a usual price"),
)  # fmt: skip
SECTIONS: tuple[tuple[str, tuple[Question, ...]], ...] = (
    ("The place", PLACE),
    ("The roof", ROOF),
    ("The panels", ARRAY),
    ("Inverter and cables", ELECTRICAL),
    ("The household", HOME),
    ("The prices", PRICES),
)


def makes_sense(question: Question, answers: dict[str, object]) -> bool:
    """Whether a question is worth asking after the answers so far.

    Examples
    --------
    >>> makes_sense(ROOF[2], {"roof.kind": "flat"}), makes_sense(ROOF[0], {})
    (False, True)
    """
    key, _, wanted = question.only_if.partition("=")
    if not key:
        return True
    return key in answers if not wanted else str(answers.get(key)) == wanted
