"""From survey to site file by questions: each answer checked, the file sound and commented."""

import json
import tomllib

import pytest
from typer.testing import CliRunner

from pvkit import estimate, load_site
from pvkit.cli import app
from pvkit.present.field_guide import field_guide
from pvkit.present.survey_sheet import survey_sheet_html
from pvkit.site.field_list import field_list
from pvkit.site.new_site import as_site, faults_of_answer, read_answer, site_text
from pvkit.site.questions import ARRAY, PLACE, ROOF, SECTIONS
from pvkit.site.samples import samples_folder
from pvkit.study.scenarios import apply, load_scenarios

PITCHED = [
    "First job", "52.9", "-1.2", "", "town", "back slope", "pitched", "35", "170", "9", "5", "5",
    "half-cut-430", "8", "yes", "single-phase-3000", "12", "8", "3100", "half", "2", "", "0.26",
    "0.55", "0.12", "6,400", "-5", "6400",
]  # fmt: skip

ROOF_ANSWERS = {
    "roof.name": "r", "roof.kind": "pitched", "roof.tilt_deg": 30, "roof.azimuth_deg": 180,
    "roof.width_m": 9, "roof.depth_m": 5, "array.module": "half-cut-430",
}  # fmt: skip


def typed(*lines: str) -> str:
    return "\n".join(lines) + "\n"


def test_answers_typed_one_by_one_make_a_site_that_can_be_estimated(tmp_path):
    file = tmp_path / "first job é.toml"
    done = CliRunner().invoke(app, ["new", str(file)], input=typed(*PITCHED))
    assert done.exit_code == 0, done.output
    site = load_site(file)
    assert site.kwp() == pytest.approx(8 * 0.43)
    assert site.array[0].optimisers
    assert estimate(site).ac_kwh > 1000
    assert [(item.name, item.gbp) for item in site.costs.items] == [("quotation", 6400)]
    assert "# How steep is it" in file.read_text(encoding="utf-8")
    for case in load_scenarios(samples_folder() / "scenarios" / "first_choices.toml"):
        assert apply(site, case).site != site


def test_a_bad_answer_is_told_at_once_and_asked_again(tmp_path):
    answers = PITCHED.copy()
    answers[7:8] = ["300", "thirty", "35"]
    answers[1:1] = ["north"]
    file = tmp_path / "site.toml"
    done = CliRunner().invoke(app, ["new", str(file)], input=typed(*answers))
    assert done.exit_code == 0, done.output
    assert done.output.count("How steep is it?") == 3
    assert done.output.count("Latitude?") == 2
    assert load_site(file).roof[0].tilt_deg == 35


def test_a_flat_roof_is_asked_about_tilt_and_upstand_and_a_pitched_one_is_not(tmp_path):
    flat = [
        "Flat", "52.9", "-1.2", "", "", "top", "flat", "200", "9", "6", "3", "0.2", "half-cut-430",
        "6", "10", "180", "no", "single-phase-2500", "", "", "", "", "", "210", "yes", "", "", "",
        "", "",
    ]  # fmt: skip
    file = tmp_path / "flat.toml"
    done = CliRunner().invoke(app, ["new", str(file)], input=typed(*flat))
    assert done.exit_code == 0, done.output
    site = load_site(file)
    assert site.roof[0].parapet_m == 0.2
    assert site.array[0].tilt_deg == 10
    assert site.hot_water is not None
    assert site.hot_water.diverter


def test_a_file_that_is_there_is_left_alone(tmp_path):
    file = tmp_path / "site.toml"
    file.write_text("mine", encoding="utf-8")
    done = CliRunner().invoke(app, ["new", str(file)], input=typed(*PITCHED))
    assert done.exit_code != 0
    assert file.read_text(encoding="utf-8") == "mine"


def test_text_in_an_answer_stays_text():
    name = 'a "quoted" \\ name = [x] # é'
    place = {"site.name": name, "site.latitude": 52.0, "site.longitude": -1}
    answers = place | ROOF_ANSWERS | {"array.count": 8, "inverter.part": "single-phase-3000"}
    read = tomllib.loads(site_text(answers))
    assert read["site"]["name"] == name
    assert read == json.loads(json.dumps(as_site(answers)))


@pytest.mark.parametrize(
    ("question", "text", "words"),
    [
        (PLACE[0], "", "found nothing"),
        (PLACE[1], "91", "91"),
        (ROOF[1], "steep", "'steep'"),
        (ARRAY[0], "half-cut-43", "half-cut-43"),
    ],
)
def test_each_answer_is_checked_alone(question, text, words):
    faults = faults_of_answer(question, read_answer(question, text), {})
    assert len(faults) == 1
    assert words in faults[0].found


def test_a_comma_is_told_and_nobody_is_told_of_quotes_that_were_not_typed():
    latitude = PLACE[1]
    comma, word = (
        faults_of_answer(latitude, read_answer(latitude, text), {})[0].fix
        for text in ("52,9", "SSW")
    )
    assert comma.startswith("write a point, not a comma; give degrees north")
    assert word.startswith("give degrees north")


def test_more_panels_than_fit_are_told_at_the_question():
    assert faults_of_answer(ARRAY[1], 40, ROOF_ANSWERS)
    assert not faults_of_answer(ARRAY[1], 8, ROOF_ANSWERS)


def test_every_question_is_a_key_of_the_model_and_stands_on_the_sheet():
    known = {f"{field.table.strip('[]')}.{field.name}" for field in field_list()}
    sheet = survey_sheet_html()
    for _, questions in SECTIONS:
        for question in questions:
            assert question.key in known
            assert question.words in sheet


def test_the_stored_guide_to_the_keys_is_that_of_the_model():
    stored = (samples_folder() / "FIELDS.md").read_text(encoding="utf-8")
    assert stored.rstrip() == field_guide().rstrip(), "write it anew: pvkit fields -o FIELDS.md"
