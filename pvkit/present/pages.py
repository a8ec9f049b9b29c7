"""Small pieces of HTML that the workbooks show beside their charts."""

from collections.abc import Sequence
from html import escape

from pvkit.present.headlines import Headline, headlines
from pvkit.present.picture import Picture, Spans
from pvkit.study.estimate import Estimate

_CARD = (
    "border-left:4px solid {colour};padding:0 8px;flex:1 1 40%;min-width:130px;line-height:1.3;"
    "color:var(--jp-ui-font-color1)"
)
WORKING_OUT = "likely range: working it out …"
_INK = ("#E69F00", "#009E73", "#0072B2", "#CC79A7")
_SAVED_INK = "#0072B2"


def headline_html(
    now: Estimate, surveyed: Estimate, *, plain: bool = False, likely: Sequence[str] | None = ()
) -> str:
    """Show the four figures, each with the surveyed one where it differs.

    Parameters
    ----------
    now, surveyed : the answers to show and to compare with
    plain : give one line of text instead
    likely : likely range of each figure; None while they are being worked out; left out if empty

    Returns
    -------
    HTML whose figures a screen reader announces when they change, or text
    """
    pairs = list(zip(headlines(now), headlines(surveyed), strict=True))
    if plain:
        return "; ".join(f"{head.label.lower()} {head.figure}" for head, _ in pairs)
    return cards_html(pairs, likely)


def cards_html(pairs: Sequence[tuple[Headline, Headline]], likely: Sequence[str] | None) -> str:
    """Show figures as cards, each beside what it was as surveyed."""
    spans = [WORKING_OUT] * len(pairs) if likely is None else [*likely, *[""] * len(pairs)]
    cards = "".join(
        _card(head, before, (ink, span))
        for (head, before), ink, span in zip(pairs, _INK, spans, strict=False)
    )
    busy = " aria-busy='true'" if likely is None else ""
    return (
        f"<div role='status' aria-live='polite'{busy} style='display:flex;flex-wrap:wrap;gap:6px'>"
        f"{cards}</div>"
    )


def _card(head: Headline, before: Headline, look: tuple[str, str]) -> str:
    colour, span = look
    note = head.note if head.figure == before.figure else f"surveyed: {before.figure}"
    shown = f"<div style='font-size:.8em;font-weight:600'>{span}</div>" if span else ""
    return (
        f"<div style='{_CARD.format(colour=colour)}'>"
        f"<div style='font-size:.85em'>{head.label}</div>"
        f"<div style='font-size:1.35em;font-weight:600'>{head.figure}</div>{shown}"
        f"<div style='font-size:.8em'>{note}</div></div>"
    )


def sentence_html(text: str) -> str:
    """Show one sentence in a block of steady height, so that nothing below it jumps."""
    return (
        "<p class='pvkit-sentence' style='min-height:4.2em;margin:4px 0;line-height:1.4;"
        "color:var(--jp-ui-font-color1)'>"
        f"{escape(text)}</p>"
    )


def error_html(text: str) -> str:
    """Show a message that a screen reader announces at once."""
    lines = "<br>".join(escape(line) for line in text.splitlines())
    return (
        "<div role='alert' style='border:2px solid #D55E00;padding:6px 10px;line-height:1.4;"
        f"color:var(--jp-ui-font-color1)'><b>Please put right:</b><br>{lines}</div>"
    )


def saved_html(words: str) -> str:
    """Show what became of a press of a button, announced by a screen reader."""
    return (
        f"<p role='status' style='border:2px solid {_SAVED_INK};padding:6px 10px;margin:4px 0;"
        "line-height:1.4;overflow-wrap:anywhere;"
        f"color:var(--jp-ui-font-color1)'>{escape(words)}</p>"
    )


def caution_html(estimate: Estimate) -> str:
    """Show the standing statement, with all cautions and notes folded below it."""
    statement, *others = estimate.cautions
    items = "".join(f"<li>{escape(text)}</li>" for text in (*others, *estimate.warnings))
    return (
        "<div style='font-size:.85em;line-height:1.4;color:var(--jp-ui-font-color1)'>"
        f"<b>{escape(statement)}</b>"
        f"<details><summary>Cautions and notes ({len(others) + len(estimate.warnings)})</summary>"
        f"<ul style='margin:4px 0'>{items}</ul></details></div>"
    )


def twin_html(estimate: Estimate, picture: Picture | Spans, likely: Sequence[str] = ()) -> str:
    """Show what a saved workbook shows: the figures as a table and the picture as an image."""
    found = headlines(estimate)
    return figures_twin_html(estimate, found, likely or ("",) * len(found)) + image_html(picture)


def figures_twin_html(estimate: Estimate, found: Sequence[Headline], likely: Sequence[str]) -> str:
    """Show figures as a table, each with its likely range."""
    rows = "".join(
        f"<tr><th scope='row'>{head.label}</th><td>{head.figure}</td><td>{span}</td>"
        f"<td>{head.note}</td></tr>"
        for head, span in zip(found, likely, strict=True)
    )
    return f"<table><caption>{escape(estimate.site.site.name)}</caption>{rows}</table>"


def image_html(picture: Picture | Spans) -> str:
    """Show a picture as an image, and how to bring the controls to life."""
    from pvkit.present.print_charts import picture_data_uri

    return (
        f"<p>{escape(picture.question)} {escape(picture.answer)}</p>"
        f"<img alt='{escape(picture.answer, quote=True)}' src='{picture_data_uri(picture)}' "
        "style='max-width:680px;width:100%'>"
        "<p><b>To use the controls: Run &gt; Run All Cells.</b></p>"
    )
