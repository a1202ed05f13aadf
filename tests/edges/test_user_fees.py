"""Fee schedules in the practice folder: which is in force, versions kept, two people saving at once, nothing lost."""

import os
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path

import pytest

from estimator import files
from estimator.files.user import data_folder, fee_versions
from estimator.files.user.fee_versions import SavedMeanwhileError
from estimator.inputs.fees.schedule import FeeSchedule
from estimator.inputs.fees.versions import write_fees
from tests.builders import TODAY, load_demo_practice
from tests.problem_builders import refuses

DEMO = load_demo_practice().fees
LATER = date(2027, 1, 1)


@pytest.fixture
def fees_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("OVERDENTURE_DATA", str(tmp_path))
    return data_folder.find_practice_folder() / "fees"


def price(fee: str, *, effective_from: date | None = None) -> FeeSchedule:
    lines = {**DEMO.lines, "reline": replace(DEMO.get("reline"), fee=Decimal(fee))}
    return replace(DEMO, lines=lines, effective_from=effective_from)


def keep(schedule: FeeSchedule) -> Path:
    return fee_versions.keep_version(schedule, mark=fee_versions.take_mark(), today=TODAY)


def find_fee(today: date = TODAY) -> Decimal:
    return data_folder.load_user_practice(today=today).fees.get("reline").fee


def test_the_demo_is_in_force_until_something_is_saved(fees_folder: Path) -> None:
    assert not list(fees_folder.iterdir())
    assert (find_fee(), fee_versions.list_own_versions()) == (Decimal(480), ())


def test_a_saved_version_is_in_force_and_the_one_before_is_kept(fees_folder: Path) -> None:
    first, second = keep(price("500.00")), keep(price("510.00"))
    assert find_fee() == 510
    assert [path.name for path in (first, second)] == ["fees_2026-11-25.csv", "fees_2026-11-25_002.csv"]
    assert fee_versions.load_version(first.name).get("reline").fee == 500


def test_a_version_for_later_waits_for_its_day_and_then_takes_over(fees_folder: Path) -> None:
    keep(price("600.00", effective_from=LATER))
    keep(price("500.00"))
    assert [find_fee(day) for day in (TODAY, LATER - timedelta(1), LATER)] == [500, 500, 600]


def test_where_all_are_for_later_the_first_is_used_and_never_the_demo(fees_folder: Path) -> None:
    keep(price("700.00", effective_from=date(2028, 1, 1)))
    keep(price("600.00", effective_from=LATER))
    assert find_fee() == 600


def test_a_file_without_a_day_counts_as_the_oldest_and_among_those_the_name_decides(fees_folder: Path) -> None:
    (fees_folder / "fees_2026.csv").write_text(write_fees(price("490.00")), encoding="utf-8")
    (fees_folder / "fees_2027.csv").write_text(write_fees(price("495.00")), encoding="utf-8")
    assert find_fee() == 495
    keep(price("500.00"))
    assert find_fee() == 500


def test_a_day_in_a_file_with_semicolons_is_seen(fees_folder: Path) -> None:
    text = write_fees(price("600.00", effective_from=LATER)).replace(",", ";").replace('"', "")
    (fees_folder / "a.csv").write_text(text, encoding="utf-8")
    assert [version.effective_from for version in fee_versions.list_own_versions()] == [LATER]


def test_a_file_that_cannot_be_read_is_listed_and_said_when_it_is_used(fees_folder: Path) -> None:
    (fees_folder / "broken.csv").write_bytes(b"\x00\x01")
    assert [version.file for version in fee_versions.list_own_versions()] == ["broken.csv"]
    with refuses(r"broken\.csv: got a binary file"):
        data_folder.load_user_practice(today=TODAY)


def test_a_saved_file_opens_in_a_spreadsheet(fees_folder: Path) -> None:
    data = keep(price("500.00")).read_bytes()
    assert data.startswith(b"\xef\xbb\xbfkey,label")


def test_the_second_of_two_people_is_told_and_nothing_is_lost(fees_folder: Path) -> None:
    mark = fee_versions.take_mark()
    first = fee_versions.keep_version(price("500.00"), mark=mark, today=TODAY)
    with refuses(f"a change by somebody else, the latest in {first.name}") as caught:
        fee_versions.keep_version(price("510.00"), mark=mark, today=TODAY)
    assert isinstance(caught.value, SavedMeanwhileError)
    assert [path.name for path in fees_folder.iterdir()] == [first.name]
    assert find_fee() == 500


def test_a_file_changed_by_hand_is_a_change_by_somebody_else(fees_folder: Path) -> None:
    path = keep(price("500.00"))
    mark = fee_versions.take_mark()
    path.write_text(write_fees(price("505.00")), encoding="utf-8")
    with pytest.raises(SavedMeanwhileError):
        fee_versions.keep_version(price("510.00"), mark=mark, today=TODAY)


def test_two_people_at_the_same_moment_do_not_write_into_one_file(fees_folder: Path) -> None:
    (fees_folder / "saving.part").write_text("", encoding="utf-8")
    with refuses("somebody else saving at this moment; expected to be alone"):
        keep(price("500.00"))
    assert [path.name for path in fees_folder.iterdir()] == ["saving.part"]


def test_what_a_crash_has_left_behind_is_taken_over(fees_folder: Path) -> None:
    left = fees_folder / "saving.part"
    left.write_text("half a sched", encoding="utf-8")
    os.utime(left, (1, 1))
    assert keep(price("500.00")).exists()
    assert not left.exists()


def test_a_folder_that_cannot_be_written_is_a_problem_and_leaves_no_half(
    fees_folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(self: Path, target: Path) -> Path:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "replace", refuse)
    with refuses("permission denied; expected a file that can be written"):
        keep(price("500.00"))
    assert not list(fees_folder.iterdir())


def test_a_version_dated_before_the_one_it_was_made_from_is_refused(fees_folder: Path) -> None:
    keep(price("500.00"))
    practice = data_folder.load_user_practice(today=TODAY)
    early = write_fees(replace(price("510.00"), price_date=date(2026, 10, 1)))
    with refuses(r'new\.csv, column "price_date": got 2026-10-01; expected 2026-11-01 or later'):
        fee_versions.check_fees_text(early, "new.csv", practice)


def test_the_invented_days_of_the_demo_bind_nobody(fees_folder: Path) -> None:
    early = write_fees(replace(price("510.00"), price_date=date(2026, 1, 1)))
    assert (
        fee_versions.check_fees_text(early, "new.csv", data_folder.load_user_practice(today=TODAY)).price_date.month
        == 1
    )


def test_a_line_that_an_option_charges_and_a_file_lacks_is_named_with_the_option(fees_folder: Path) -> None:
    text = "\n".join(line for line in write_fees(DEMO).splitlines() if not line.startswith("bar_base"))
    with refuses(r'new.csv: got no row "bar_base".*the option "connecting_bar" charges'):
        fee_versions.check_fees_text(text, "new.csv", data_folder.load_user_practice(today=TODAY))


def test_tax_and_chair_cost_of_the_settings_reach_the_practice(fees_folder: Path) -> None:
    (fees_folder.parent / "settings.toml").write_text(
        '[tax]\nlaboratory = 0.1\nreason = "treatment"\n[cost]\nchair_hour = 375\nlaboratory_remakes = 0.04\n',
        encoding="utf-8",
    )
    practice = data_folder.load_user_practice(today=TODAY)
    assert practice.fees.tax == practice.settings.tax != load_demo_practice().fees.tax
    assert practice.settings.chair_cost_per_hour == 375


def test_check_reads_a_schedule_with_a_day(tmp_path: Path) -> None:
    path = tmp_path / "ours.csv"
    path.write_text(write_fees(price("500.00", effective_from=LATER)), encoding="utf-8-sig")
    assert files.check_file(path, today=TODAY) == ()
