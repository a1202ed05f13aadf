"""Uploads: ten kinds of wrong files change nothing and list every problem; a good one is used when somebody says so."""

from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

from estimator import files
from tests.app.conftest import Go, show
from tests.builders import CHECKOUT

FEES = (CHECKOUT / "demo_fees.csv").read_text(encoding="utf-8")
CASE = (files.DATA / "demo" / "case.toml").read_text(encoding="utf-8")

WRONG: list[tuple[str, bytes, str]] = [
    ("empty", b"", "an empty file"),
    ("binary", b"PK\x03\x04\x00\x00\x00", "a binary file"),
    ("another encoding", FEES.replace("Review", "Revisi\u00f3n").encode("latin-1"), "a byte that is not UTF-8"),
    ("truncated", FEES[:400].encode(), "no row"),
    ("a quote left open", FEES.replace("Tray", '"Tray', 1).replace('"Tray,', '"Tray ').encode()[:2500], "cells"),
    ("a misspelt column", FEES.replace("minutes", "minuts", 1).encode(), "'minuts'"),
    ("a doubled row", (FEES + FEES.splitlines()[-1] + "\n").encode(), "'name_marking'"),
    ("a negative fee", FEES.replace("140.00", "-140.00").encode(), "'-140.00'"),
    ("a letter in a fee", FEES.replace("1350.00", "135O.00").encode(), "'135O.00'"),
    ("two currencies", FEES.replace("USD", "EUR", 1).encode(), "'USD'"),
    ("another table", b"a;b\n1;2\n", "'a'"),
]


@pytest.mark.parametrize(("data", "found"), [w[1:] for w in WRONG], ids=[w[0] for w in WRONG])
def test_a_wrong_fee_schedule_is_refused_with_every_problem(data: bytes, found: str, go: Go) -> None:
    app = go("fees")
    app.file_uploader("fees_in").upload("fees_2027.csv", data, "text/csv").run()
    assert not app.exception
    assert "fees_2027.csv was not taken" in show(app.error[0].value)
    assert "Nothing has changed; demo_fees.csv stays in use." in show(app.error[0].value)
    assert any(found in cell for cell in map(show, app.table[0].value["Found"])), list(app.table[0].value["Found"])
    assert app.session_state["practice"].fees.file == "demo_fees.csv"


def upload_good(app: AppTest) -> AppTest:
    text = FEES.replace("4 ", "4 ").replace("Bar remade,aftercare,event,2900.00", "Bar remade,aftercare,event,3100.00")
    text = text.replace("Delivery of a denture,visit,jaw,320.00", "Delivery of a denture,visit,jaw,420.00")
    return app.file_uploader("fees_in").upload("our fees.csv", text.encode(), "text/csv").run()


def test_a_good_schedule_is_used_only_when_somebody_says_so(demo: AppTest, go: Go, user_folder: Path) -> None:
    assert demo.title
    app = upload_good(go("fees"))
    assert app.session_state["practice"].fees.file == "demo_fees.csv"
    app.button("use_fees").click().run()
    assert not app.exception
    (kept,) = (user_folder / "practice" / "fees").iterdir()
    assert app.session_state["practice"].fees.file == kept.name
    assert "**Total 2,350.00**" in show("\n".join(text.value for text in go("quote").markdown))


def test_a_used_schedule_is_still_used_by_a_new_tab(go: Go, user_folder: Path) -> None:
    upload_good(go("fees")).button("use_fees").click().run()
    from estimator.files.user import data_folder, fee_versions

    (kept,) = (user_folder / "practice" / "fees").iterdir()
    assert data_folder.load_user_practice().fees.file == kept.name
    assert kept.read_bytes().startswith(b"\xef\xbb\xbfkey,label")
    assert [version.file for version in fee_versions.list_own_versions()] == [kept.name]


@pytest.mark.parametrize(("data", "found"), [
    (b"", "an empty file"), (b"\x00\x01", "a binary file"), (b"[[jaws]\n", "Expected"),
    (CASE.replace("mandible", "mandibel").encode(), "'mandibel'"), (CASE.replace("11.5", "-1").encode(), "-1"),
])  # fmt: skip
def test_a_wrong_case_file_is_refused_and_the_open_case_stays(data: bytes, found: str, demo: AppTest) -> None:
    before = demo.session_state["case"]
    demo.file_uploader("case_in").upload("case.toml", data, "application/toml").run()
    assert not demo.exception
    assert "case.toml was not taken" in show(demo.error[0].value)
    assert any(found.lower() in cell.lower() for cell in map(show, demo.table[0].value["Found"])), list(
        demo.table[0].value["Found"]
    )
    assert demo.session_state["case"] == before


def test_a_case_file_is_opened_where_no_case_is_open_yet(app: AppTest) -> None:
    app.file_uploader("case_in").upload("case.toml", CASE.encode(), "application/toml").run()
    assert not app.exception
    assert app.session_state["case"].reference == "C-1042"


def test_a_good_case_file_is_opened(demo: AppTest) -> None:
    text = CASE.replace("C-1042", "C-77")
    demo.file_uploader("case_in").upload("case.toml", text.encode(), "application/toml").run()
    assert demo.session_state["case"].reference == "C-77"
