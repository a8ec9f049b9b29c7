import subprocess
import sys

import numba

from pvkit.home import kernel


def test_home_and_ledger_can_be_imported_without_the_compiler():
    code = (
        "import sys, pvkit.home.flows, pvkit.home.demand, pvkit.ledger.cash, pvkit.ledger.carbon;"
        "sys.exit('numba' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


def test_a_place_that_cannot_be_written_to_only_costs_the_kept_code(monkeypatch):
    real = numba.njit

    def nowhere_to_keep(*function, cache=False):
        if cache:
            message = "cannot cache function: no locator available"
            raise RuntimeError(message)
        return real(*function)

    monkeypatch.setattr(numba, "njit", nowhere_to_keep)
    double = kernel.compiled(lambda value: 2.0 * value)
    assert double(21.0) == 42.0
