"""A bar for long work: how far it is, the time left, and a button that stops and keeps."""

import time

import ipywidgets as w

from pvkit.present.twin import Twin
from pvkit.study.sweep import Progress, seconds_in_words

SHORTEST_S = 0.5
_BETWEEN_S = 0.1


class ProgressBar:
    """Watch a sweep or a list of sites; what is stopped keeps all that is done.

    Parameters
    ----------
    what : what is counted, as in "homes"

    Examples
    --------
    >>> from pvkit import Study, load_site
    >>> bar = ProgressBar()
    >>> study = Study(load_site("south_family_home"))
    >>> table = study.sweep({"finance.discount_rate": [0.0, 0.02]}, ["npv_gbp"], bar.watch)
    >>> bar.say()
    '2 of 2 cases done.'
    """

    def __init__(self, what: str = "cases") -> None:
        self.what = what
        self.stopped = False
        self._bar = w.IntProgress(min=0, max=1, layout=w.Layout(width="75%"))
        self._words = w.HTML()
        self._stop = w.Button(
            description="Stop", tooltip="Stop and keep what is done", disabled=True,
            layout=w.Layout(width="70px"),
        )  # fmt: skip
        self._stop.on_click(lambda _: self.stop())
        # Short work never shows it; its place is kept, so that nothing jumps.
        self._box = w.VBox(
            [w.HBox([self._bar, self._stop]), self._words],
            layout=w.Layout(visibility="hidden", width="100%"),
        )
        self._begun = self._shown = 0.0
        self._now = Progress(0, 0, None)

    @property
    def view(self) -> Twin:
        """The bar for a notebook cell."""
        return Twin(self._box, lambda: f"<p>{self.say()}</p>", self.say)

    def stop(self) -> None:
        """Ask the work to stop, as the button does."""
        self.stopped = True

    def watch(self, now: Progress) -> bool:
        """Show how far the work is; False once it is to stop."""
        if now.seconds_left is None:
            self.stopped, self._begun = False, time.perf_counter()
        self._now = now
        over = self.stopped or now.done >= now.total
        if over or time.perf_counter() - self._shown >= _BETWEEN_S:
            self._show(now, over=over)
        return not self.stopped

    def say(self) -> str:
        """Say how far it is in one line."""
        now, what = self._now, self.what
        if not now.total:
            return "Not run yet."
        if now.done >= now.total:
            return f"{now.done:,} of {now.total:,} {what} done."
        if self.stopped:
            return f"Stopped: {now.done:,} of {now.total:,} {what} done and kept."
        left = now.seconds_left
        left_words = "" if left is None else f", about {seconds_in_words(left)} left"
        return f"{now.done:,} of {now.total:,} {what}{left_words}"

    def _show(self, now: Progress, *, over: bool) -> None:
        self._shown = time.perf_counter()
        self._bar.max, self._bar.value = max(now.total, 1), now.done
        self._stop.disabled = over
        self._words.value = (
            f"<span role='status' style='color:var(--jp-ui-font-color1)'>{self.say()}</span>"
        )
        if max(self._shown - self._begun, now.seconds_left or 0.0) > SHORTEST_S:
            self._box.layout.visibility = "visible"
