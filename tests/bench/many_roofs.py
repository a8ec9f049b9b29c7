"""How much faster two workers are than one over a list of invented homes."""

import tempfile
import time
from pathlib import Path

import numpy as np

from pvkit.study.cluster import workers
from pvkit.study.invented_list import invented_sites
from pvkit.study.parts_folder import PartsFolder
from pvkit.study.portfolio import Part, part_table, portfolio
from pvkit.study.site_list import Listed, read_sites

HOMES = 1200


def portfolio_speedup(homes: int = HOMES) -> float:
    """Time one worker, then two, on the same list; compiled code is loaded beforehand."""
    with tempfile.TemporaryDirectory() as place:
        file = Path(place) / "homes.csv"
        invented_sites(homes).to_csv(file, index=False)
        sites = read_sites(file)
        one, two = (_seconds(sites, Path(place) / str(count), count) for count in (1, 2))
    return one / two


def _seconds(sites: list[Listed], folder: Path, count: int) -> float:
    with workers(count=count) as client:
        warm = [client.submit(part_table, Part(tuple(sites[:1]), f"warm{n}"), pure=False,
                              workers=[address])
                for n, address in enumerate(client.scheduler_info()["workers"])]  # fmt: skip
        client.gather(warm)
        start = time.perf_counter()
        table = portfolio(sites, PartsFolder(folder), client)
        spent = time.perf_counter() - start
    assert np.isfinite(table["ac_kwh"]).all()
    return spent


if __name__ == "__main__":
    print(f"two workers are {portfolio_speedup():.2f} times as fast as one")
