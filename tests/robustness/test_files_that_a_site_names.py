"""Files that a site file names: any file its user may read, read as what it should be, no more.

A name may lead out of the folder (``../weather/station.csv``), for that is how people keep files.
It is only ever read, as weather, readings, prices or factors; nothing is written under a name
from a site file, no program is run, nothing is fetched, and what is no plain file is refused.
"""

import gzip
import os
import socket
from pathlib import Path

import pytest

from pvkit import InputError, estimate, load_site
from pvkit.present.record_files import save_record
from pvkit.site.reader import FILES
from pvkit.site.samples import sample_path
from pvkit.study.changes import changed
from pvkit.study.doubt_sun import sun_spread
from pvkit.study.record import commission
from pvkit.study.site_list import read_sites

SITE = "south_family_home"
YEARS = "year,ghi_kwh_per_m2\n" + "".join(f"{2000 + n},{1000 + 7 * n}\n" for n in range(10))
FACTORS = "year,kgco2e_per_kwh\n" + "".join(f"{year},0.1\n" for year in range(2024, 2060))
KEYS = [(table, key) for table, key in FILES if (table, key) != ("weather", "file")]
ASKS = {
    ("carbon", "grid_file"): 'grid_path = "file"\n',
    ("tariff", "import_file"): "", ("tariff", "export_file"): "", ("doubt", "sun_file"): "",
    ("home", "meter_file"): "", ("home", "meter_generation_file"): "",
}  # fmt: skip


def site_file(folder: Path, tables: str) -> Path:
    """Write the sample's site file, with more under some of its tables."""
    text = sample_path(SITE).read_text(encoding="utf-8")
    head = tables.split("\n", 1)[0]
    text = text.replace(f"{head}\n", tables, 1) if f"\n{head}\n" in text else f"{text}\n{tables}"
    folder.mkdir(parents=True, exist_ok=True)
    file = folder / "home.toml"
    file.write_text(text, encoding="utf-8")
    return file


@pytest.fixture
def offline(monkeypatch):
    def refuse(*_, **__):
        pytest.fail("the network was asked")

    monkeypatch.setattr(socket, "getaddrinfo", refuse)
    monkeypatch.setattr(socket.socket, "connect", refuse)


@pytest.mark.usefixtures("offline")
@pytest.mark.parametrize("name", ["../kept/factors.csv", "../kept/../kept/./factors.csv", "whole"])
def test_a_name_may_lead_out_of_the_folder(name, tmp_path):
    (tmp_path / "kept").mkdir()
    (tmp_path / "kept" / "factors.csv").write_text(FACTORS, encoding="utf-8")
    named = str(tmp_path / "kept" / "factors.csv") if name == "whole" else name
    file = site_file(tmp_path / "job", f'[carbon]\ngrid_path = "file"\ngrid_file = "{named}"\n')
    assert estimate(load_site(file)).facts()["carbon_saved_kgco2e"] > 0


def refused(file: Path) -> str:
    """Load and estimate, with the doubt; give the message of the refusal."""
    with pytest.raises(InputError) as caught:
        estimate(load_site(file)).ranges  # noqa: B018  # asked for, so that the sun file is read
    return str(caught.value)


@pytest.mark.usefixtures("offline")
@pytest.mark.parametrize("key", KEYS, ids=[".".join(key) for key in KEYS])
@pytest.mark.parametrize("kind", ["pipe", "device", "folder", "address", "secret", "no name"])
def test_what_is_no_plain_table_is_refused_in_words(key, kind, tmp_path):
    (table, name), more = key, ASKS[key]
    os.mkfifo(tmp_path / "pipe")
    (tmp_path / "folder").mkdir()
    (tmp_path / "secret").write_text("root:x:0:0:\n" + "deep secret " * 50, encoding="utf-8")
    named = {"pipe": "pipe", "device": "/dev/zero", "folder": "folder", "secret": "secret",
             "address": "https://example.invalid/a.csv", "no name": "a\\u0000b"}[kind]  # fmt: skip
    said = refused(site_file(tmp_path, f'[{table}]\n{more}{name} = "{named}"\n'))
    assert "Fix:" in said
    assert said.count("secret") < 8


@pytest.mark.usefixtures("offline")
@pytest.mark.parametrize("source", ["csv", "epw", "tmy3"])
@pytest.mark.parametrize("named", ["pipe", "/dev/zero", "https://example.invalid/a.csv", "secret"])
def test_weather_that_is_no_plain_file_is_refused_in_words(source, named, tmp_path):
    os.mkfifo(tmp_path / "pipe")
    (tmp_path / "secret").write_text("root:x:0:0:\n" + "deep secret " * 50, encoding="utf-8")
    said = refused(site_file(tmp_path, f'[weather]\nsource = "{source}"\nfile = "{named}"\n'))
    assert "Fix:" in said
    assert said.count("secret") < 14


def test_a_packed_table_is_not_unpacked(tmp_path):
    file = tmp_path / "sun.csv.gz"
    file.write_bytes(gzip.compress(YEARS.encode()))
    with pytest.raises(InputError, match=r"sun\.csv\.gz"):
        sun_spread(str(file))
    (tmp_path / "sun.csv").write_text(YEARS, encoding="utf-8")
    assert sun_spread(str(tmp_path / "sun.csv"))[0] > 0


def test_sites_of_a_list_find_their_files_beside_them(tmp_path):
    for table, key in FILES:
        more = "" if table == "weather" else ASKS[(table, key)]
        site_file(tmp_path, f'[{table}]\n{more}{key} = "beside.csv"\n')
        (only,) = read_sites(tmp_path)
        assert only.raw[table][key] == str(tmp_path / "beside.csv")
    (tmp_path / "home.toml").unlink()
    (tmp_path / "homes.csv").write_text("site.name,doubt.sun_file\na,sun.csv\n", encoding="utf-8")
    (only,) = read_sites(tmp_path / "homes.csv")
    assert only.raw["doubt"]["sun_file"] == str(tmp_path / "sun.csv")


@pytest.mark.parametrize(
    "name", ["../../up", "/etc/passwd", "..\\..\\up", "con", "a/b:c*?<>|", "…", "é" * 150, "~root",
             "$(touch x)", ".hidden", "x\u202ey"],
)  # fmt: skip
def test_a_name_of_a_site_never_leads_a_record_out_of_its_folder(name, tmp_path, record):
    site = changed(record.site, {"site.name": name})
    kept = save_record(commission(site, record.file), tmp_path / "records")
    for file in (kept.json, kept.html):
        assert file.parent == tmp_path / "records"
        assert file.name.isascii()
        assert not set(file.name) & set('/\\:*?"<>|$~ ')
        assert len(file.name) < 100
    assert [path.name for path in tmp_path.iterdir()] == ["records"]
