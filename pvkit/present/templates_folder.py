"""The pages' templates: read from the package, filled with everything escaped."""

from importlib import resources

import jinja2


def environment() -> jinja2.Environment:
    """Give the one way pages are filled: text is escaped, a missing name is an error."""
    return jinja2.Environment(
        loader=jinja2.FunctionLoader(template_text),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )


def template_text(file: str) -> str:
    """Read a template or style sheet."""
    return resources.files("pvkit.present").joinpath("templates", file).read_text(encoding="utf-8")
