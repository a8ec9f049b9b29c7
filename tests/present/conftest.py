"""The answers of the sample sites, worked out once for all tests of what a person sees."""

import pytest

from pvkit.site.reader import load_site
from pvkit.site.samples import sample_sites
from pvkit.study.estimate import Estimate
from pvkit.study.study import Study

WITH_CYLINDER, WITHOUT_CYLINDER = "bungalow_extension", "south_family_home"


@pytest.fixture(scope="session")
def studies() -> dict[str, Study]:
    return {sample.name: Study(load_site(sample.name)) for sample in sample_sites()}


@pytest.fixture(scope="session")
def bungalow(studies: dict[str, Study]) -> Study:
    """A site with a hot-water cylinder."""
    return studies[WITH_CYLINDER]


@pytest.fixture(scope="session")
def family(studies: dict[str, Study]) -> Study:
    """A site without a cylinder."""
    return studies[WITHOUT_CYLINDER]


@pytest.fixture(scope="session", params=[sample.name for sample in sample_sites()])
def answer(request: pytest.FixtureRequest, studies: dict[str, Study]) -> Estimate:
    """Each sample site's answer in turn."""
    return studies[request.param].estimate()
