"""How fast modules age, unless the site file says otherwise."""

from pvkit.ledger.cash import ageing
from pvkit.site.money import Finance

# Sources, by their abstracts (conf. A): Jordan & Kurtz 2013, all systems, median of nearly 2,000
# rates 0.5 % a year; Jordan et al. 2016, crystalline silicon, median 0.5 to 0.6; Jordan et al.
# 2022, fleet in cool climates, median 0.48. Seven UK houses with modules of about 2008 aged faster,
# 0.7 to 1.0 % (Dhimish 2020): the kit's figure is the world's, not theirs.
WORLD = "Jordan & Kurtz 2013, Progress in Photovoltaics 21; median of all systems"
SILICON = "Jordan, Kurtz, VanSant & Newmiller 2016; median of crystalline silicon"
COOL = "Jordan et al. 2022, Photovoltaic Fleet Degradation Insights; median in cool climates"


def yearly_loss_percent():
    later = ageing(Finance())
    return 100 * (1 - (later[-1] / later[0]) ** (1 / (len(later) - 1)))


def test_modules_age_as_the_median_does(published):
    ours = yearly_loss_percent()
    check = "power lost in a year by ageing"
    published(check, WORLD, ours, 0.5, "%", "published", 0.01)
    published(check, COOL, ours, 0.48, "%", "published", 0.03)
    published.between(check, SILICON, ours, 0.5 - 1e-9, 0.6, "%", "published")
