"""The whole way from a weather file to a.c. energy against pvlib's own ModelChain."""

from pathlib import Path

import numpy as np
import pandas as pd
import pvlib
import pytest

from pvkit import Study
from pvkit.site.reader import build_site
from tests.bench.model_chain import half_hourly_weather, model_chain
from tests.sky.conftest import epw_lines

# Source: pvlib-python 0.16, ModelChain with Perez sky, De Soto module, Faiman temperature, on the
# TMY3 file that ships inside pvlib (Sand Point, Alaska, 55.3 N, open data) and on an EPW file of
# the same station. Both sides read the file for themselves; the module's fit and the inverter's
# curve are ours on both sides. Agreement asked: 0.5 % of the year.
YEARLY_AGREEMENT = 0.005
SOURCE = "pvlib-python 0.16.1; ModelChain, Sand Point, Alaska"
TMY3 = Path(pvlib.__file__).parent / "data" / "703165TY.csv"
EXTRAS = ("reflected", "dirt", "uneven_light", "dc_cables", "ac_cables", "out_of_service")


def _site(source: str, file: Path):
    return build_site(
        {
            # In open country 10 m up the wind at the modules is the file's own.
            "site": {"name": "Sand Point", "latitude": 55.317, "longitude": -160.517,
                     "altitude_m": 7.0, "terrain": "country"},
            "weather": {"source": source, "file": str(file)},
            "roof": [{"name": "r", "kind": "flat", "azimuth_deg": 180.0, "width_m": 12.0,
                      "depth_m": 12.0, "height_m": 10.0}],
            "array": [{"name": "a", "roof": "r", "module": "half-cut-430", "rows": 1,
                       "columns": 10, "orientation": "portrait", "tilt_deg": 35.0,
                       "mounting": "ballasted"}],
            "inverter": {"part": "single-phase-3680"},
            "losses": {"off": EXTRAS},
        }
    )  # fmt: skip


def _epw(folder: Path) -> Path:
    file = folder / "sand_point.epw"
    file.write_text("\n".join(epw_lines()) + "\n", encoding="ascii")
    return file


def _hourly_from_pvlib(source: str, file: Path) -> pd.DataFrame:
    """Read a file with pvlib alone; both formats stamp an hour at its end."""
    if source == "tmy3":
        table, _ = pvlib.iotools.read_tmy3(str(file), coerce_year=2025, map_variables=True)
        middles = table.index - pd.Timedelta(minutes=30)
    else:
        table, _ = pvlib.iotools.read_epw(str(file), coerce_year=2025)
        middles = table.index + pd.Timedelta(minutes=30)  # pvlib has moved it to the start already
    columns = ["ghi", "dni", "dhi", "temp_air", "wind_speed"]
    return table[columns].set_axis(middles).tz_convert("UTC")


def _lit(weather: pd.DataFrame) -> pd.DataFrame:
    """Leave the night out; ModelChain's solver warns at no light at all."""
    return weather[weather["ghi"] > 0]


def _ac_kwh(site, weather: pd.DataFrame, hours: float) -> float:
    chain = model_chain(site)
    chain.run_model(_lit(weather))
    return float(np.nansum(chain.results.ac)) * hours / 1000


@pytest.fixture(scope="module", params=["tmy3", "epw"])
def case(request, tmp_path_factory):
    file = TMY3 if request.param == "tmy3" else _epw(tmp_path_factory.mktemp("weather"))
    site = _site(request.param, file)
    return request.param, file, site, Study(site).estimate()


@pytest.mark.filterwarnings("ignore:invalid value:RuntimeWarning", "ignore::FutureWarning")
@pytest.mark.filterwarnings("ignore:.*dayofyear.*", "ignore:.*utcnow.*")
class TestYearlyEnergyAgreesWithModelChain:
    def test_on_our_own_half_hours(self, case, published):
        source, _, site, answer = case
        theirs = _ac_kwh(site, half_hourly_weather(answer.stages.sky), 0.5)
        published(f"year's a.c. energy on our half-hours, {source.upper()} file", SOURCE,
                  answer.ac_kwh, theirs, "kWh", "another program",
                  share=YEARLY_AGREEMENT)  # fmt: skip

    def test_on_the_file_as_pvlib_reads_it_hour_by_hour(self, case, published):
        source, file, site, answer = case
        theirs = _ac_kwh(site, _hourly_from_pvlib(source, file), 1.0)
        published(f"year's a.c. energy, the {source.upper()} file hour by hour", SOURCE,
                  answer.ac_kwh, theirs, "kWh", "another program",
                  share=YEARLY_AGREEMENT)  # fmt: skip
