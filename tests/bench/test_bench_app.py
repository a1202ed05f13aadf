"""A change on the Options page in a real browser, against a page with the same widgets and charts on constant data.

The constant page holds the finished charts of every look-ahead in a file, so both pages have the same to draw, and what
differs is what we compute.
"""

import json
import statistics
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from estimator import files
from estimator.charts.over_years import YearWords, draw_over_years
from estimator.charts.shapes import Spec, draw_chart
from estimator.estimate.bands import list_costs_so_far
from estimator.estimate.compare import list_rows, round_to_fourth_digit
from estimator.estimate.result import CaseEstimate, estimate_case
from estimator.pictures.base.look import LIGHT
from estimator.pictures.base.rows import Picture, Sizes
from estimator.pictures.options.money import draw_money
from estimator.pictures.options.option_rows import RowWriter, find_measured
from estimator.pictures.options.room import draw_room
from estimator.pictures.options.time import draw_time
from tests.builders import TODAY
from tests.served import Server, go, open_demo, open_tab, settle

MOST = 1.5
TRIES = 3
"""A browser on a busy machine has slow moments; a page that is really slow is slow three times."""

CONSTANT_PAGE = """
import json
from pathlib import Path
import pandas as pd
import streamlit as st

st.set_page_config(layout="wide")
st.title("Options")
years = st.slider("Years to look ahead", 1, 30, 10)
st.markdown("Constant data.")
data = json.loads((Path(__file__).parent / f"constant_{years}.json").read_text(encoding="utf-8"))
charts = data["charts"]
for column, name, spec in zip(st.columns([10, 7, 10]), ("Room", "Time", f"Cost over {years} years"), charts[:3]):
    with column:
        st.header(name)
        st.vega_lite_chart(spec=spec, theme=None)
st.header("In words")
st.markdown("Constant words. " * 60)
st.table(pd.DataFrame(data["table"]), border="horizontal", hide_index=True)
st.header("Year by year")
st.vega_lite_chart(spec=charts[3], theme=None)
with st.expander("The same as a table"):
    st.table(pd.DataFrame(data["table"]), border="horizontal", hide_index=True)
"""


def draw_pictures(estimate: CaseEstimate) -> tuple[Picture, ...]:
    """The three pictures of the Options page."""
    rows = list_rows(estimate.jaws[0], no_treatment=("No treatment now", ""))
    writer = RowWriter(
        files.load_wording(), patient=False, step=round_to_fourth_digit(max(row.total[2] for row in rows if row.total))
    )
    sizes, words, measured = Sizes(), writer.key_words(), find_measured(rows)
    assert measured is not None
    assert measured.error_mm is not None
    return (
        draw_room(
            [writer.room_row(r) for r in rows],
            sizes,
            room_mm=measured.space_mm,
            error_mm=measured.error_mm,
            words=words,
        ),
        draw_time([writer.time_row(r) for r in rows], sizes, words=words),
        draw_money([writer.money_row(r) for r in rows], sizes, axis="US dollars", words=words),
    )


def draw_charts(estimate: CaseEstimate) -> list[Spec]:
    """The pictures and the chart of the years, as the Options page sends them."""
    end = f"{estimate.years} years"
    words = YearWords(start="delivery", end=end, year="after {year} years", untreated="None", untreated_note="unknown")
    costs = list_costs_so_far(estimate, estimate.jaws[0])
    return [
        *(draw_chart(picture, LIGHT) for picture in draw_pictures(estimate)),
        draw_over_years(costs, LIGHT, show=lambda amount: f"{amount:,.0f}", words=words),
    ]


@pytest.fixture
def constant_url(tmp_path: Path) -> Iterator[str]:
    case, practice = files.load_demo(today=TODAY)
    charts = {years: draw_charts(estimate_case(case, practice, years=years)) for years in range(10, 31)}
    estimate = estimate_case(case, practice)
    table = [{"Option": o.name, **{str(n): float(o.fees.total) for n in range(8)}} for o in estimate.jaws[0].estimates]
    for years, specs in charts.items():
        path = tmp_path / f"constant_{years}.json"
        path.write_text(json.dumps({"charts": specs, "table": table}), encoding="utf-8")
    script = tmp_path / "constant.py"
    script.write_text(CONSTANT_PAGE, encoding="utf-8")
    port = "8699"
    command = [sys.executable, "-m", "streamlit", "run", str(script), "--server.port", port, "--server.headless", "true",
               "--server.address", "127.0.0.1", "--browser.gatherUsageStats", "false"]  # fmt: skip
    process = subprocess.Popen(command, cwd=tmp_path, stdout=subprocess.DEVNULL)
    time.sleep(4)
    yield f"http://127.0.0.1:{port}"
    process.terminate()
    process.wait(timeout=20)


def change_years(page: Page, years: int, key: str) -> float:
    """Press a key on the slider and wait until the page shows the new number of years [ms], seen from inside the page."""
    page.get_by_role("slider").first.press(key)
    taken: float = page.evaluate(
        """years => new Promise((resolve, reject) => {
            const start = performance.now();
            const look = () => {
                const text = years === 1 ? 'Cost over 1 year' : `Cost over ${years} years`;
                if ([...document.querySelectorAll('h2')].some(h => h.innerText.trim() === text)) {
                    resolve(performance.now() - start);
                } else if (performance.now() - start > 20000) { reject(new Error('no change')); }
                else { requestAnimationFrame(look); }
            };
            look();
        })""",
        years,
    )
    return taken


def measure_by_turns(pages: tuple[Page, Page]) -> tuple[list[float], list[float]]:
    """Each number of years is new to both pages, and both take turns, so that a slow moment hits both."""
    for page in pages:
        settle(page)
        page.wait_for_timeout(1500)
    taken: tuple[list[float], list[float]] = ([], [])
    for years in range(11, 31):
        for page, times in zip(pages, taken, strict=True):
            page.bring_to_front()
            times.append(change_years(page, years, "ArrowRight"))
            settle(page)
            page.wait_for_timeout(300)
    return taken[0][1:], taken[1][1:]


def test_a_change_shows_within_one_and_a_half_times_a_constant_page(
    chromium: Browser, server: Server, constant_url: str
) -> None:
    """The budget is 300 ms for 95 of 100 changes; the first useful page is there 3 s after the start."""
    server.stop()
    started = time.perf_counter()
    server.start()
    first_tab = open_tab(chromium, server.url)
    first_page = time.perf_counter() - started
    first_tab.context.close()
    ratio = 99.0
    for _ in range(TRIES):
        ours, reference = measure_in_new_tabs(chromium, server.url, constant_url)
        slowest = sorted(ours)[int(0.95 * len(ours)) - 1]
        ratio = statistics.median(ours) / statistics.median(reference)
        print(
            f"\nfirst useful page {first_page:.1f} s; a change {statistics.median(ours):.0f} ms (95 %: {slowest:.0f} ms), "
            f"constant page {statistics.median(reference):.0f} ms, ratio {ratio:.2f}"
        )
        if ratio <= MOST:
            break
    assert ratio <= MOST


def measure_in_new_tabs(browser: Browser, ours_url: str, constant_url: str) -> tuple[list[float], list[float]]:
    """Both pages afresh, the demo case open, ten years ahead."""
    page = open_tab(browser, ours_url)
    open_demo(page)
    go(page, "Options")
    constant = open_tab(browser, constant_url)
    taken = measure_by_turns((page, constant))
    page.context.close()
    constant.context.close()
    return taken
