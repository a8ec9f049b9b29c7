"""A record as it is kept: JSON that reads back the same, and tells when it was changed."""

import json
import math

import pytest

from pvkit import load_site
from pvkit.electrical.readings import build_record, load_record
from pvkit.errors import InputError
from pvkit.site.samples import sample_sites
from pvkit.study.record import commission, read_record, record_json
from tests.electrical.records import whole


def records():
    optimised, plain = load_site("bungalow_extension"), load_site("south_family_home")
    yield commission(optimised, load_record("bungalow_extension", optimised))
    yield commission(plain, load_record("family_home_with_faults", plain))
    for sample in sample_sites():
        site = load_site(sample.name)
        if not any(array.optimisers for array in site.array):
            yield commission(site, build_record(whole(site), site))


RECORDS = list(records())


@pytest.mark.parametrize("record", RECORDS)
def test_a_saved_record_reads_back_equal(record):
    assert read_record(record_json(record)) == record


@pytest.mark.parametrize("record", RECORDS)
def test_its_json_holds_what_a_program_needs_and_no_nan(record):
    facts = json.loads(record_json(record), parse_constant=lambda word: pytest.fail(word))
    assert facts["complete"] is (facts["blocking"] == [])
    assert {"what", "value", "limit", "verdict", "source", "group"} == facts["rows"][0].keys()
    for string in facts["strings"]:
        assert string["expected"] is None or all(map(math.isfinite, string["expected"].values()))
    assert facts["cautions"]


def test_a_failed_row_or_gap_and_completeness_never_stand_together():
    for record in RECORDS:
        assert record.complete is (record.count("fail") == 0)
        assert len(record.blocking) == record.count("fail")


@pytest.mark.parametrize(
    "spoil",
    [
        lambda facts: facts | {"complete": not facts["complete"]},
        lambda facts: facts | {"format_version": 99},
        lambda facts: {key: value for key, value in facts.items() if key != "record"},
        lambda facts: facts | {"rows": 3},
    ],
)
def test_what_is_no_saved_record_is_refused(spoil):
    facts = json.loads(record_json(RECORDS[1]))
    with pytest.raises(InputError, match="saved commissioning record"):
        read_record(json.dumps(spoil(facts)), "x.json")


def test_text_that_is_no_json_is_refused():
    with pytest.raises(InputError, match=r"x\.json"):
        read_record("{", "x.json")
