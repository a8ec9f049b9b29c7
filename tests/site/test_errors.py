"""The one form of every message."""

import pickle

from pvkit.errors import Fault, InputError, PvkitError

TILT = Fault("a.toml, array.1.tilt_deg", "found 300", "0 to 90 deg", "give the slope")
COUNT = Fault("a.toml, array.1.count", "found 0", "1 to 500", "count the modules")


def test_a_fault_says_where_what_was_found_what_is_allowed_and_what_to_do() -> None:
    assert str(TILT) == (
        "a.toml, array.1.tilt_deg: found 300.\n  Allowed: 0 to 90 deg.\n  Fix: give the slope."
    )


def test_one_fault_stands_alone() -> None:
    assert str(InputError(TILT)) == str(TILT)


def test_several_faults_are_counted_and_all_listed() -> None:
    error = InputError(TILT, COUNT)
    assert str(error) == f"2 things to put right:\n{TILT}\n{COUNT}"
    assert error.faults == (TILT, COUNT)


def test_every_input_error_is_an_error_of_the_kit() -> None:
    assert issubclass(InputError, PvkitError)
    assert not issubclass(PvkitError, ValueError)


def test_an_error_comes_whole_out_of_another_process() -> None:
    again = pickle.loads(pickle.dumps(InputError(TILT, COUNT)))
    assert again.faults == (TILT, COUNT)
    assert str(again) == str(InputError(TILT, COUNT))
