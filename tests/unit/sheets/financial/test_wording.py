"""What the papers about money share: how wide the columns of a small table are."""

import pytest

from estimator.sheets.financial.wording import set_widths


@pytest.mark.parametrize("cells", [("1,250.00", "11,250.00"), ("0.00", "\N{EN DASH}")])
def test_amounts_that_stand_side_by_side_do_not_run_into_one_another(cells: tuple[str, str]) -> None:
    head = ("", "Fee", "Outstanding")
    _, *widths = set_widths(head, [("Denture", *cells), ("Total", *cells)])
    for width, title, cell in zip(widths, head[1:], cells, strict=True):
        assert width > max(len(title), len(cell)) + 1, "the longest word and a gap of more than a sign"
