"""Slips in the money tables: each told once, with its key, what was found and what to do."""

from typing import Any

import pytest

from pvkit.errors import InputError
from pvkit.site.reader import build_site, load_site

BASE = load_site("bungalow_extension").model_dump(exclude_unset=True)


def broken(changes: dict[str, dict[str, Any]]) -> InputError:
    raw = dict(BASE)
    for table, keys in changes.items():
        raw[table] = {**raw.get(table, {}), **keys}
    with pytest.raises(InputError) as caught:
        build_site(raw)
    return caught.value


@pytest.mark.parametrize(
    ("changes", "key", "found"),
    [
        ({"costs": {"discount_gbp": 9000.0}}, "costs.discount_gbp", "off a price of 4980.00"),
        ({"costs": {"grant_gbp": 5000.0}}, "costs.grant_gbp", "off a price of 4980.00"),
        ({"costs": {"items": None, "discount_gbp": 1.0}}, "costs.discount_gbp", "without a quot"),
        ({"costs": {"vat_fraction": 20.0}}, "costs.vat_fraction", "found 20.0"),
        ({"costs": {"cleaning_every_years": 0}}, "costs.cleaning_every_years", "found 0"),
        ({"costs": {"items": [{"name": "a", "gbp": -5.0}]}}, "costs.items", "total of -5.00"),
        ({"loan": {"deposit_gbp": 0.0, "apr": 0.08, "years": 30}}, "loan.years", "found 30"),
        ({"loan": {"deposit_gbp": 0.0, "apr": 8.0, "years": 5}}, "loan.apr", "found 8.0"),
        ({"loan": {"deposit_gbp": 6e3, "apr": 0.08, "years": 5}}, "loan.deposit_gbp", "4980.00"),
        ({"loan": {"apr": 0.08, "years": 5}}, "loan.deposit_gbp", "missing"),
        ({"prices": {"terms": "nominl"}}, "prices.terms", "found 'nominl'"),
        ({"prices": {"import_index_by_year": []}}, "prices.import_index_by_year", "empty list"),
        ({"prices": {"gas_index_by_year": [1, 105]}}, "prices.gas_index_by_year.2", "found 105"),
        ({"finance": {"residual": "all"}}, "finance.residual", "found 'all'"),
        ({"finance": {"output_by_year": [0.98, 98.0]}}, "finance.output_by_year.2", "98.0"),
        ({"finance": {"inflation_per_year": 2.0}}, "finance.inflation_per_year", "found 2.0"),
        ({"carbon": {"grid_path": "file"}}, "carbon.grid_file", "missing"),
        ({"carbon": {"grid_path": "flat"}}, "carbon.grid_path", "found 'flat'"),
        ({"doubt": {"sun_fraction": 4.0}}, "doubt.sun_fraction", "found 4.0"),
        ({"doubt": {"sunn_fraction": 0.04}}, "doubt.sunn_fraction", "unknown key"),
        ({"doubt": {"newer_light": 1}}, "doubt.newer_light", "found 1"),
        ({"standard": {"planes": [{"array": "mian"}]}}, "standard.planes.1.array", "'mian'"),
        ({"standard": {"planes": [{"array": "main", "kk_kwh_per_kwp": 9}]}},
         "standard.planes.1.kk_kwh_per_kwp", "found 9"),
    ],
)  # fmt: skip
def test_a_slip_in_the_money_is_told_with_its_key(changes: Any, key: str, found: str) -> None:
    error = broken(changes)
    assert [fault.where for fault in error.faults] == [f"site, {key}"]
    assert found in error.faults[0].found
    assert all((error.faults[0].allowed, error.faults[0].fix))


def test_a_file_of_grid_factors_is_looked_for_beside_the_site_file(tmp_path: Any) -> None:
    from pvkit.site.samples import sample_path

    text = sample_path("bungalow_extension").read_text(encoding="utf-8")  # type: ignore[union-attr]
    file = tmp_path / "home.toml"
    file.write_text(
        text + '\n[carbon]\ngrid_path = "file"\ngrid_file = "series.csv"\n', encoding="utf-8"
    )
    site = load_site(file)
    assert site.carbon.grid_file == str(tmp_path / "series.csv")
