"""The bar of long work: it counts, says the time left, stops, and never shows for short work."""

import time

from pvkit import Study, load_site
from pvkit.present.progress import ProgressBar
from pvkit.study.sweep import Progress

FIELD = "finance.discount_rate"


def test_a_stopped_sweep_keeps_what_is_done():
    bar = ProgressBar()

    def watch(now):
        if now.done == 3:
            bar.stop()
        return bar.watch(now)

    study = Study(load_site("south_family_home"))
    table = study.sweep({FIELD: [0.0, 0.01, 0.02, 0.03, 0.04]}, ["npv_gbp"], watch)
    assert list(table.index) == [0.0, 0.01, 0.02]
    assert table.attrs["complete"] is False
    assert bar.say() == "Stopped: 3 of 5 cases done and kept."
    assert bar._stop.disabled


def test_a_new_run_begins_unstopped():
    bar = ProgressBar("homes")
    bar.stop()
    assert bar.watch(Progress(4, 9, None)) is True
    assert bar.say() == "4 of 9 homes"


def test_the_time_left_is_said_and_the_end_is_exact():
    bar = ProgressBar("homes")
    bar.watch(Progress(0, 9, None))
    bar.watch(Progress(4, 9, 12.2))
    assert bar.say() == "4 of 9 homes, about 13 s left"
    bar.watch(Progress(9, 9, 0.0))
    assert bar.say() == "9 of 9 homes done."
    assert bar._bar.value == bar._bar.max == 9


def test_short_work_never_shows_it_and_long_work_does():
    bar = ProgressBar()
    bar.watch(Progress(0, 2, None))
    bar.watch(Progress(2, 2, 0.0))
    assert bar._box.layout.visibility == "hidden"
    bar.watch(Progress(0, 2, None))
    time.sleep(0.11)
    bar.watch(Progress(1, 2, 4.0))
    assert bar._box.layout.visibility == "visible"


def test_it_is_not_redrawn_for_every_case():
    bar, drawn = ProgressBar(), []
    bar._bar.observe(lambda change: drawn.append(change["new"]), "value")
    for done in range(2000):
        bar.watch(Progress(done, 2000, None if done == 0 else 1.0))
    assert len(drawn) < 20
