"""Survey to 25-year answer for small UK rooftop solar.

>>> from pvkit import estimate, load_site
>>> round(estimate(load_site("south_family_home")).kwp, 1)
4.5
"""

from pvkit.errors import Fault, InputError, PvkitError
from pvkit.site.reader import load_site
from pvkit.site.samples import sample_sites
from pvkit.site.survey import Site
from pvkit.study.estimate import Estimate
from pvkit.study.study import Study, estimate

__all__ = [
    "Estimate",
    "Fault",
    "InputError",
    "PvkitError",
    "Site",
    "Study",
    "estimate",
    "load_site",
    "sample_sites",
]
__version__ = "0.1.0"
