"""What the lesson on losses asks and explains at each step."""

ASKED: dict[str, str] = {
    "plane": "The roof is tilted and turned. What does that add, or take?",
    "hidden_beam": "How much of it is direct sun that obstacles and the skyline hide?",
    "hidden_sky": "How much more is light of the sky that they hide?",
    "reflected": "How much does the front glass throw back?",
    "dirt": "How much does dirt keep off?",
    "weak_light": "Panels are rated in full sun. What do they lose in weaker light?",
    "warm_cells": "They are rated at 25 °C. What do warmer, or colder, cells take or give?",
    "uneven_light": "How much is lost because panels on one string share one current?",
    "dc_cables": "How much warms the d.c. cables?",
    "optimisers": "How much do the optimisers take for themselves?",
    "inverter_conversion": "How much does the inverter lose in turning d.c. into a.c.?",
    "inverter_limit": "How much is cut off because the inverter is smaller than the array?",
    "ac_cables": "How much warms the a.c. cable to the meter?",
    "out_of_service": "How much is missed while the system stands still?",
}
WHY: dict[str, str] = {
    "plane": "A tilted plane faces the low sun of winter, mornings and evenings more squarely; "
    "one turned from south does so less.",
    "hidden_beam": "A hill, a house or a chimney stands before the sun for part of the year. "
    "Only direct light throws a shadow, and it is about half of a British year's light.",
    "hidden_sky": "Half of the light comes from the whole sky; what stands up hides a piece of it "
    "all day, whether the sun shines or not.",
    "reflected": "Glass lets nearly all light through square on and less at a slant, so early, "
    "late and winter light loses more.",
    "dirt": "British rain washes a tilted panel; on a nearly flat one a rim of dirt stays.",
    "weak_light": "In weak light a larger part of the current leaks away inside the cell, and the "
    "voltage falls with the logarithm of the light.",
    "warm_cells": "Power falls by about a third of a per cent for each kelvin. A British year is "
    "cool, so cold bright days win some of it back.",
    "uneven_light": "The current of a string is that of its weakest panel unless a diode leaves it "
    "out, so one shadow costs more than the light it hides.",
    "dc_cables": "Current squared times resistance: twice the copper, half the loss.",
    "optimisers": "An optimiser passes on nearly all, but it works on all that its panel makes, "
    "all year.",
    "inverter_conversion": "Switching and its own supply; the share is largest in weak light, when "
    "its own use is a large part of little.",
    "inverter_limit": "British light is seldom strong enough to fill an array, so an inverter a "
    "little smaller cuts off only the tips of the brightest days.",
    "ac_cables": "The same as d.c. cables, at mains voltage.",
    "out_of_service": "Faults, trips on high supply voltage, and days until somebody notices.",
}
