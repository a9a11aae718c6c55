"""A limit in a sheet's words is printed in both systems, the vessel's own first."""

from __future__ import annotations

import pytest

from installgen.manual.blocks import Amount
from installgen.manual.limits import limit_line
from tests.manual.manuals import manual


def test_the_alarms_of_a_vessel_in_us_units_lead_with_them() -> None:
    text = manual("brannock").text("starting").replace("\N{NO-BREAK SPACE}", " ")
    assert "below 8.7 psi gauge (60 kPa gauge)" in text
    assert "above 208 °F (98 °C)" in text


@pytest.mark.parametrize("text", ["when the belt breaks", "below the mark", "60 kPa gauge"])
def test_other_words_stay_as_they_are(text: str) -> None:
    assert limit_line(text) == text


def test_the_word_before_the_quantity_is_kept() -> None:
    line = limit_line("above 2400 rpm")
    assert isinstance(line, tuple)
    assert line[0] == "above "
    assert isinstance(line[1], Amount)
