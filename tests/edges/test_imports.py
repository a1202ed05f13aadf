"""What an estimate loads: nothing of the app, the charts or the paper, which would cost at every start."""

import subprocess
import sys

import pytest

from estimator import files
from tests.builders import CHECKOUT

HEAVY = ("streamlit", "altair", "pandas", "fpdf", "pikepdf", "uharfbuzz", "scipy", "PIL")
SCRIPT = """
import sys
from estimator.cli import main
code = main(["estimate", sys.argv[1], "--fees", sys.argv[2], *sys.argv[3:]])
print("loaded:", *sorted({name.split(".")[0] for name in sys.modules}), file=sys.stderr)
sys.exit(code)
"""


@pytest.mark.parametrize("more", [[], ["--json"]], ids=["text", "json"])
def test_an_estimate_loads_nothing_heavy(more: list[str]) -> None:
    arguments = [str(files.DATA / "demo" / "case.toml"), str(CHECKOUT / "demo_fees.csv"), *more]
    done = subprocess.run(
        [sys.executable, "-c", SCRIPT, *arguments], capture_output=True, text=True, encoding="utf-8", check=True
    )
    loaded = set(done.stderr.split("loaded:")[1].split())
    assert "numpy" in loaded
    assert not loaded & set(HEAVY)


def test_the_first_page_of_the_app_waits_for_neither_model_nor_paper_nor_database() -> None:
    script = (
        "import sys, estimator.ui.shell.session, estimator.ui.case.form, estimator.ui.shell.start; print(*sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, encoding="utf-8", check=True)
    loaded = set(done.stdout.split())
    assert not loaded & {
        "altair",
        "sqlalchemy",
        "fpdf",
        "pikepdf",
        "pypdfium2",
        "estimator.estimate.result",
        "estimator.pdf.draw",
    }
