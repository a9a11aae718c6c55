"""What a meter may show, in words: whoever follows them goes where the tree leads."""

from __future__ import annotations

import re

import pytest

from installgen.analysis.cases import DcCase
from installgen.analysis.fault_tree import Answer, Question
from installgen.manual.pages.reading_words import (
    amperes,
    answer_lines,
    answers_text,
    millivolts,
    reading_text,
)
from tests.manual.manuals import manual

CASE = DcCase("cranking", "cranking", (), None)
BATTERY = Question(CASE, "start-bank.positive", (9.9, 11.5))
NOTHING = Question(CASE, "engine.block", (0.0, 0.3))
ANSWERS = (Answer.NOTHING, Answer.LOW, Answer.EXPECTED, Answer.HIGH)
SETS = [
    frozenset(answer for bit, answer in enumerate(ANSWERS) if number >> bit & 1)
    for number in range(1, 16)
]
VOLT = r"(\d+\.\d) v"


def _covers(text: str, volts: float) -> bool:
    """Whether somebody with this reading would touch an answer of these words."""
    return any(_part_covers(part, volts) for part in re.split(r", or ", text.lower()))


def _part_covers(part: str, volts: float) -> bool:
    if found := re.search(rf"anything but a minus sign and more than {VOLT}", part):
        return volts >= -float(found[1])
    if "anything" in part:
        return True
    if found := re.search(rf"about nothing \(less than {VOLT}\)", part):
        return abs(volts) < float(found[1])
    if found := re.search(rf"a minus sign and more than {VOLT}", part):
        return volts < -float(found[1])
    if found := re.search(rf"nothing to {VOLT}", part):
        return volts <= float(found[1])
    if found := re.search(rf"{VOLT} to {VOLT}", part):
        return float(found[1]) <= volts <= float(found[2])
    if found := re.search(rf"less than {VOLT}", part):
        return volts < float(found[1])
    found = re.search(rf"more than {VOLT}", part)
    assert found, part
    return volts > float(found[1])


@pytest.mark.parametrize(
    ("question", "answers"),
    [
        *((BATTERY, answers) for answers in SETS),
        # Where nothing is expected, nothing is as expected.
        *((NOTHING, answers) for answers in SETS if Answer.NOTHING not in answers),
    ],
    ids=lambda found: found.node if isinstance(found, Question) else "+".join(sorted(found)),
)
def test_the_words_of_an_answer_cover_its_readings_and_no_others(
    question: Question, answers: frozenset[Answer]
) -> None:
    line = answers_text(manual("brannock").source, question, answers)
    parts = line if isinstance(line, tuple) else (line,)
    text = "".join(str(part) for part in parts).replace("\N{NO-BREAK SPACE}", " ")
    lowest = -9 if question is BATTERY else -30  # a minus sign there is another search
    for tenths in range(lowest, 170):
        volts = tenths / 10.0 + 0.03  # never on a limit
        assert _covers(text, volts) == (question.answer(volts) in answers), (text, volts)


def test_a_box_says_the_same_in_short() -> None:
    m = manual("brannock").source
    least, most = BATTERY.accepted_v
    assert answer_lines(m, BATTERY, frozenset({Answer.EXPECTED})) == ["as it should"]
    short = answer_lines(m, BATTERY, frozenset({Answer.NOTHING, Answer.LOW, Answer.UNSTEADY}))
    assert short == [f"< {least:.1f}\N{NO-BREAK SPACE}V", "jumps"]
    assert answer_lines(m, BATTERY, frozenset({Answer.HIGH})) == [
        f"> {most:.1f}\N{NO-BREAK SPACE}V"
    ]


def test_a_whole_circuit_reads_in_a_band_or_less_than_a_little() -> None:
    m = manual("brannock").source
    assert reading_text(m, (11.7, 13.2)) == "11.7\N{NO-BREAK SPACE}V to 13.2\N{NO-BREAK SPACE}V"
    assert reading_text(m, (-0.3, 0.6)) == "less than 0.6\N{NO-BREAK SPACE}V"


@pytest.mark.parametrize(
    ("current_a", "text"), [(432.1, "430 A"), (17.3, "17 A"), (1.42, "1.4 A"), (0.723, "0.72 A")]
)
def test_a_current_has_two_figures(current_a: float, text: str) -> None:
    assert amperes(current_a) == text.replace(" ", "\N{NO-BREAK SPACE}")


@pytest.mark.parametrize(
    ("volts", "printed"),
    [(0.0042, "4.2"), (0.0364, "36"), (0.1629, "160"), (0.998, "1000"), (12.46, "12000")],
)
def test_a_small_voltage_is_printed_in_two_plain_figures(volts: float, printed: str) -> None:
    assert millivolts(volts) == f"{printed}\N{NO-BREAK SPACE}mV"
