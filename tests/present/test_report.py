"""The customer's report: opens offline, hides nothing, says nothing that is not a figure."""

import datetime
import re
from html.parser import HTMLParser
from itertools import pairwise

import pytest

from pvkit.errors import InputError
from pvkit.present.firm import Firm
from pvkit.present.headlines import headlines, likely
from pvkit.present.range_words import range_rows, range_sentence
from pvkit.present.report import Sender, report_html, write_report
from pvkit.present.report_sources import TABLE_LETTERS
from pvkit.present.rounding import change, kilograms, pence, pounds, rate, whole, years
from pvkit.study.doubt_sizes import doubts

VOID = {"meta", "br", "hr", "img", "link", "input", "source", "wbr"}
# How a program, rather than a person, says that there is no figure.
NO_FIGURES = re.compile(
    r"\b(?:nan|NaN|NAN|None|null|NULL|inf|Infinity|undefined|True|False|[Nn]/[Aa]|not available)\b"
)
HOSTILE = '<script>alert("x")</script> & </style><img src=http://evil.example/a.png> {{ 7*7 }}'
WORTHLESS = {
    "tariff.import_gbp_per_kwh": 0.01,
    "tariff.export_gbp_per_kwh": 0.0,
    "tariff.gas_gbp_per_kwh": 0.0,
}
ONE_MODULE_INVERTER = {
    "ac_w": 400.0, "efficiency_10": 0.93, "efficiency_50": 0.96, "efficiency_100": 0.955,
    "dc_max_v": 60.0, "mppt_min_v": 16.0, "mppt_max_v": 50.0, "trackers": 1,
    "input_max_a": 16.0, "input_isc_max_a": 20.0,
}  # fmt: skip
EDGES = {
    "one module": {
        "array.main.count": 1,
        "array.main.optimisers": False,
        "inverter.part": None,
        "inverter.datasheet": ONE_MODULE_INVERTER,
    },
    "no export price": {"tariff.export_gbp_per_kwh": 0.0},
    "no payback and no rate of return": WORTHLESS,
    "negative worth": {"finance.discount_rate": 0.3},
    "no discount": {"finance.discount_rate": 0.0},
    "one year": {"finance.years": 1, "costs.replacements": []},
    "forty years": {"finance.years": 40},
    "sixty years": {"finance.years": 60},
    "free electricity": {"tariff.import_gbp_per_kwh": 0.0, "tariff.export_gbp_per_kwh": 0.0},
    "no gas": {"hot_water": None},
    "a loan over all the years counted": {
        "finance.years": 5,
        "loan": {"deposit_gbp": 0.0, "apr": 0.09, "years": 5},
        "costs.replacements": [],
    },
    "no doubt at all": {
        f"doubt.{name}_fraction": 0.0
        for name in (
            "sun",
            "model",
            "shade",
            "soiling",
            "degradation",
            "demand",
            "habits",
            "import_price",
            "export_price",
            "gas_price",
        )
    }
    | {"doubt.price_drift_per_year": 0.0},
    "what is left at the end": {"finance.residual": "straight-line"},
    "the procedure's grid": {"carbon.grid_path": "monthly"},
    "a gift": {"costs.items": [{"name": "gift", "gbp": 0.0}]},
    "next to no sun": {"horizon": {"bearing_deg": [0, 180], "elevation_deg": [85, 85]}},
    "a price at night": {
        "tariff.import_bands": [
            {"name": "night", "start": "00:30", "end": "05:30", "gbp_per_kwh": 0.09}
        ]
    },
    "a cylinder without a diverter": {"hot_water.diverter": False},
    "a steep array": {"array.main.tilt_deg": 35},
}


class Page(HTMLParser):
    """A page taken apart: its tags in order, its attributes and its visible text."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.words: list[str] = []
        self.badly_nested: list[str] = []
        self.feed(html)
        self.close()

    def handle_starttag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag):
        if not self.open or self.open.pop() != tag:
            self.badly_nested.append(tag)

    def handle_data(self, data):
        if "style" not in self.open:
            self.words.append(data)

    @property
    def text(self) -> str:
        return " ".join(" ".join(self.words).split())

    def all(self, tag: str) -> list[dict[str, str | None]]:
        return [attributes for name, attributes in self.tags if name == tag]


CHARTS = ("where", "when", "lost", "earn", "avoid", "sway")


def _flat(text: str) -> str:
    return " ".join(text.split())


@pytest.fixture(scope="module")
def html(answer) -> str:
    return report_html(answer)


@pytest.fixture(scope="module")
def page(html) -> Page:
    return Page(html)


@pytest.fixture(scope="module", params=EDGES)
def edge(request, bungalow):
    return bungalow.change(EDGES[request.param]).estimate()


def test_nothing_is_fetched_and_nothing_runs(page, html):
    for tag in ("script", "link", "iframe", "object", "embed", "base", "form", "img"):
        assert not page.all(tag)
    for _, attributes in page.tags:
        for name, value in attributes.items():
            assert not name.startswith("on")
            if name in ("src", "href", "xlink:href", "action", "srcset", "data", "poster"):
                assert (value or "").startswith("#")
    assert "@import" not in html
    assert set(re.findall(r"url\((.)", html)) <= {"#"}


def test_it_is_one_well_nested_page_in_british_english(page, html):
    assert html.startswith("<!DOCTYPE html>\n<html lang=")
    assert page.all("html") == [{"lang": "en-GB"}]
    assert page.badly_nested == []
    assert page.open == []


def test_headings_step_down_one_level_at_a_time(page):
    levels = [int(tag[1]) for tag, _ in page.tags if re.fullmatch(r"h[1-6]", tag)]
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(b - a <= 1 for a, b in pairwise(levels))


def test_every_table_has_a_caption_and_every_heading_cell_a_scope(page):
    assert len(page.all("table")) == len(page.all("caption")) >= 8
    assert {cell.get("scope") for cell in page.all("th")} == {"col", "row"}


def test_every_row_of_a_table_has_a_cell_for_each_heading(html):
    for table in re.findall(r"<table.*?</table>", html, flags=re.DOTALL):
        widths = {len(re.findall(r"<t[hd]\b", row)) for row in re.findall(r"<tr>.*?</tr>", table)}
        assert len(widths) == 1


def test_every_chart_is_named_and_no_id_stands_twice(page, answer):
    charts = page.all("svg")
    plans = len({array.roof for array in answer.site.array})
    assert len(charts) == 2 * len(CHARTS) + plans
    ids = [attributes["id"] for _, attributes in page.tags if "id" in attributes]
    assert len(set(ids)) == len(ids)
    for chart in charts:
        assert chart["role"] == "img"
        assert all(name in ids for name in (chart["aria-labelledby"] or "").split())
    for link in page.all("a"):
        assert (link["href"] or "").removeprefix("#") in ids


def test_the_same_answer_gives_the_same_bytes(bungalow):
    assert report_html(bungalow.estimate()) == report_html(bungalow.estimate())


def test_no_date_is_printed_unless_given(page, bungalow):
    assert "Issued" not in page.text
    dated = report_html(bungalow.estimate(), Sender(issued=datetime.date(2027, 3, 5)))
    assert "Issued 5 March 2027" in Page(dated).text


def test_the_standing_statement_and_every_caution_come_before_the_reasons(page, answer):
    front = page.text.split("The roof and the system")[0]
    for caution in answer.cautions:
        assert _flat(caution) in front


def test_the_answer_comes_first(page, answer):
    front = page.text.split("Please read before you decide")[0]
    for head, span in zip(headlines(answer), likely(answer), strict=True):
        assert f"{head.label} {head.figure} {span} {head.note}" in front
    assert range_sentence(answer) in front


def test_every_note_is_printed(page, answer):
    for note in answer.warnings:
        assert _flat(note) in page.text


def test_every_assumption_is_printed_with_its_source(page, answer):
    for number in answer.assumptions:
        assert number.name in page.text
        if number.kind != "given":
            table = number.name.startswith("table ") and len(number.source) > TABLE_LETTERS
            said = number.source[:TABLE_LETTERS].rpartition(" ")[0] if table else number.source
            assert _flat(said) in page.text


def test_every_doubt_is_printed_with_its_source(page, answer):
    for doubt in doubts(answer.site).values():
        assert f"doubt.{doubt.name} {doubt.spread:.6g}" in page.text
        assert doubt.kind == "given" or _flat(doubt.source) in page.text


def test_every_kind_of_source_is_counted(page, answer):
    heads = {
        "given": "Given", "published": "Published", "common practice": "Common practice",
        "from memory": "From memory", "assumption": "Assumed",
    }  # fmt: skip
    assert {number.kind for number in answer.assumptions} <= set(heads)
    for kind, head in heads.items():
        count = sum(number.kind == kind for number in answer.assumptions)
        said = re.search(rf"\b{head} \((\d+)\)", page.text)
        assert said is not None
        assert int(said[1]) >= count > 0


def test_every_year_of_the_cash_table_is_printed(page, answer):
    for year, row in answer.cash.iterrows():
        end = f"{whole(row.net_gbp)} {whole(row.cumulative_gbp)} {whole(row.discounted_gbp)}"
        assert re.search(rf"\b{year} [^–]*?{re.escape(end)}", page.text), year


def test_every_step_of_the_loss_stack_is_printed_with_its_term(page, answer):
    for step in answer.stages.output.stack:
        assert f"{step.name} {step.iec_term} " in page.text


def test_the_money_is_the_estimates_own(page, answer):
    span = answer.site.finance.years
    for said in (
        f"Paid for itself {years(answer.simple_payback_years, span)}",
        f"Net present value {pounds(answer.npv_gbp)}",
        f"Rate of return {rate(answer.irr)}",
        f"Cost of each kWh made {pence(answer.lcoe_gbp_per_kwh)}",
    ):
        assert said in page.text


def test_the_roofs_plan_names_every_array(page, answer):
    for array in answer.site.array:
        assert f"{array.name}: {answer.site.count(array)} ×" in page.text


def test_every_month_has_its_likely_range(page, answer):
    months = zip(
        answer.monthly.index, answer.monthly["solar_kwh"], answer.month_ranges, strict=True
    )
    for month, made, span in months:
        assert f"{month} {whole(made)} {whole(span.p90)} to {whole(span.p10)} " in page.text


def test_every_path_of_the_grid_is_shown(page, answer):
    assert {table.path for table in answer.carbon_paths} >= {"falling", "monthly", "flat"}
    for table in answer.carbon_paths:
        assert f"{kilograms(table.first_year_kg)} {kilograms(table.saved_kg)}" in page.text


def test_the_standard_estimate_leads_to_ours_line_by_line(page, answer):
    paper = answer.standard
    for start, lines in (
        (paper.standard_kwh, paper.from_standard),
        (paper.procedure_kwh, paper.from_procedure),
    ):
        assert start + sum(line.kwh for line in lines) == pytest.approx(paper.ours_kwh, abs=1e-6)
        for line in lines:
            assert f"{line.reason} {change(line.kwh)}" in page.text
    for statement in paper.statements:
        assert _flat(statement) in page.text


def test_outside_the_uk_no_standard_estimate_is_shown(family):
    abroad = family.estimate()
    abroad.__dict__["standard"] = None
    text = Page(report_html(abroad)).text
    assert "The standard estimate beside ours" not in text
    assert "standard.system_factor" not in text
    assert NO_FIGURES.findall(text) == []


def test_how_sure_it_is_is_the_sampled_ranges(page, answer):
    for row in range_rows(answer):
        assert " ".join(row) in page.text
    for sway in answer.ranges.sways:
        assert sway.doubt.words in page.text


def test_battery_and_car_are_named_only_where_there_are_some(studies):
    both, none = (Page(report_html(studies[name].estimate())).text
                  for name in ("ev_and_battery", "south_family_home"))  # fmt: skip
    for words in ("Into the battery", "Into the car", "Electric car", "Export limit", "night 9.0"):
        assert words in both
        assert words not in none


def test_a_loan_stands_beside_cash_only_when_asked_for(bungalow):
    plain = Page(report_html(bungalow.estimate())).text
    assert "Bought with a loan" not in plain
    assert "In hand with the loan" not in plain
    asked = bungalow.change({"loan": {"deposit_gbp": 500.0, "apr": 0.079, "years": 7}}).estimate()
    text = Page(report_html(asked)).text
    assert f"{pounds(asked.loan.monthly_gbp)} a month" in text
    assert f"Net present value with the loan {pounds(asked.loan.npv_gbp)}" in text
    assert "In hand with the loan" in text


def test_discount_tax_and_grant_are_lines_of_the_price(bungalow):
    costs = {"costs.discount_gbp": 200.0, "costs.vat_fraction": 0.05, "costs.grant_gbp": 500.0}
    asked = bungalow.change(costs).estimate()
    text = Page(report_html(asked)).text
    for line in asked.price_lines:
        assert f"{line.name} {pounds(line.gbp)}" in text
    assert f"together {pounds(asked.capital_gbp)}" in text


def test_the_firm_stands_at_the_top_and_its_words_stay_words(family):
    logo = "data:image/png;base64,iVBORw0KGgo="
    firm = Firm("<b>Roofs</b> & Sons", "01000 000000", "a@example.org", logo)
    html = report_html(family.estimate(), Sender(firm))
    page = Page(html)
    assert page.all("img") == [{"src": logo, "alt": firm.name}]
    assert "<b>Roofs</b> & Sons 01000 000000 · a@example.org" in page.text
    assert "<b>Roofs" not in html
    assert page.badly_nested == []


def test_a_page_for_paper_leaves_out_the_drawings_for_small_screens(bungalow):
    page = Page(report_html(bungalow.estimate(), paper=True))
    assert len(page.all("svg")) == len(CHARTS) + 1
    assert page.badly_nested == []


def test_the_page_alone_says_which_ending_it_can_be_written_under(bungalow, tmp_path):
    answer = bungalow.estimate()
    write_report(answer, tmp_path / "our réport 1.HTML")
    assert (tmp_path / "our réport 1.HTML").read_text(encoding="utf-8") == report_html(answer)
    with pytest.raises(InputError, match=r"found the ending '\.docx'"):
        write_report(answer, tmp_path / "r.docx")
    write_report(answer, tmp_path / "=money.xlsx")
    assert (tmp_path / "=money.xlsx").read_bytes().startswith(b"PK")


def test_no_figure_is_missing(page):
    assert NO_FIGURES.findall(page.text) == []


def test_an_odd_site_is_reported_without_a_missing_figure(edge):
    html = report_html(edge, paper=True)
    page = Page(html)
    assert NO_FIGURES.findall(page.text) == []
    assert page.badly_nested == []
    assert years(edge.simple_payback_years, edge.site.finance.years) in page.text
    assert "nan" not in re.findall(r"[a-z]+", " ".join(re.findall(r' d="([^"]*)"', html)).lower())


def test_the_edges_are_the_edges_they_claim_to_be(bungalow):
    worthless = bungalow.change(WORTHLESS).estimate()
    assert worthless.simple_payback_years is None
    assert worthless.irr is None
    assert bungalow.change(EDGES["negative worth"]).estimate().npv_gbp < 0
    text = Page(report_html(worthless)).text
    assert "is not earned back within 25 years" in text
    assert "no one rate" in text
    assert "sold for nothing" in text


def test_a_home_without_a_cylinder_reads_nothing_of_heated_water(family):
    text = Page(report_html(family.estimate())).text
    assert "no cylinder in this estimate" in text
    assert "Heats water" not in text
    assert "Gas not burnt" not in text


def test_a_cylinder_without_a_diverter_takes_no_solar_energy(bungalow):
    text = Page(report_html(bungalow.change({"hot_water.diverter": False}).estimate())).text
    assert "without a diverter" in text
    assert "Heats water" not in text
    assert "Gas not burnt" not in text


def test_a_quotation_that_is_missing_is_said_to_be(family):
    text = Page(report_html(family.change({"costs": {}}).estimate())).text
    assert "no quotation yet stand-in" in text


def test_a_hostile_name_stays_a_name(family):
    html = report_html(family.change({"site.name": HOSTILE}).estimate())
    page = Page(html)
    assert HOSTILE in page.text
    assert "<script" not in html
    assert not page.all("img")
    assert "49" not in re.findall(r"<h1>(.*?)</h1>", html)[0]
    assert page.badly_nested == []


def test_hostile_names_of_roofs_arrays_and_costs_stay_names(family):
    names = {
        "roof.1.name": "<b>roof</b>",
        "array.1.name": "<i>array</i>",
        "array.1.roof": "<b>roof</b>",
        "costs.items": [{"name": "<u>cost</u>", "gbp": 5000.0}],
    }
    html = report_html(family.change(names).estimate())
    text = Page(html).text
    for name in ("<b>roof</b>", "<i>array</i>", "<u>cost</u>"):
        assert name in text
        assert name not in html


def test_the_reading_says_so_when_the_price_is_earned_back_only_without_discount(bungalow):
    late = bungalow.change({"finance.discount_rate": 0.3}).estimate()
    assert late.simple_payback_years is not None
    assert late.discounted_payback_years is None
    assert "though not if later pounds count for less" in Page(report_html(late)).text
