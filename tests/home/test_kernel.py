import subprocess
import sys


def test_home_and_ledger_can_be_imported_without_the_compiler():
    code = (
        "import sys, pvkit.home.flows, pvkit.home.demand, pvkit.home.value, pvkit.ledger.cash,"
        "pvkit.ledger.carbon; sys.exit('numba' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
