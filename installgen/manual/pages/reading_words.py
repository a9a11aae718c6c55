"""What a meter shows, in words: bands, answers, the meter's range, where its leads go."""

from __future__ import annotations

import math
from collections.abc import Sequence

from installgen.analysis.cases import DcCase
from installgen.analysis.dc_cases import solved_id
from installgen.analysis.fault_tree import UNSTEADY_V, Answer, Question
from installgen.analysis.readings import NOTHING_V
from installgen.manual.blocks import Line, Link
from installgen.manual.links import working_of
from installgen.manual.vessel_manual import VesselManual, sentence
from installgen.units.display import rounded


def with_working(m: VesselManual, case: DcCase, figure: Line) -> Line:
    """What a meter should show in a case, linked to how the circuit comes to rest in it."""
    solved = m.book.get(solved_id(case))
    return figure if solved is None else Link(figure, working_of(solved))


def meter_range(m: VesselManual) -> str:
    """The range of an ordinary meter that shows the system's voltage."""
    highest = max((d.voltage.v for d in m.vessel.batteries()), default=0.0)
    key = "faults.range_20" if highest * 1.5 <= 20.0 else "faults.range_200"
    return m.text(key)


def volts(value: float) -> str:
    """A voltage in tenths of a volt."""
    return f"{value:.1f}\N{NO-BREAK SPACE}V".replace("-", "\N{MINUS SIGN}")


def amperes(value: float) -> str:
    """A current for orientation: two figures."""
    digits = max(0, 1 - math.floor(math.log10(value))) if value > 0.0 else 0
    return f"{float(f'{value:.2g}'):.{digits}f}\N{NO-BREAK SPACE}A"


def millivolts(volts: float) -> str:
    """A small voltage for orientation, given in volts: two figures."""
    return f"{rounded(float(f'{1000.0 * volts:.2g}'))}\N{NO-BREAK SPACE}mV"


def reading_text(m: VesselManual, band_v: tuple[float, float]) -> str:
    """What a whole circuit shows: `less than 0.4 V`, `11.9 V to 13.1 V`."""
    least, most = band_v
    if least <= 0.0 <= most:
        return m.text("faults.less_than", most=volts(max(-least, most)))
    return m.text("faults.band", least=volts(least), most=volts(most))


def band_text(m: VesselManual, band_v: tuple[float, float]) -> str:
    """A band in words: `about nothing`, `11.9 V to 13.1 V`."""
    least, most = band_v
    if least >= -NOTHING_V and most <= NOTHING_V:
        return m.text("faults.about_nothing", limit=volts(NOTHING_V))
    if least <= -NOTHING_V:
        return m.text("faults.at_most", most=volts(most))
    return m.text("faults.band", least=volts(least), most=volts(most))


def answers_text(m: VesselManual, question: Question, answers: frozenset[Answer]) -> Line:
    """What a meter shows when one of these answers is right, in words."""
    least, most = question.accepted_v
    parts: list[str] = []
    for run in _runs(answers):
        parts.append(_run_text(m, run, least, most))
    if Answer.UNSTEADY in answers:
        parts.append(m.text("faults.unsteady", jumps=volts(UNSTEADY_V)))
    text = m.text("faults.or").join(part for part in parts if part)
    text = sentence(text)
    return m.say("faults.as_it_should", text=text) if answers == {Answer.EXPECTED} else text


def answer_lines(m: VesselManual, question: Question, answers: frozenset[Answer]) -> list[str]:
    """The same in short lines, for beside an arrow."""
    least, most = question.accepted_v
    if Answer.EXPECTED in answers and len(answers) == 1:
        return [m.text("faults.short_good")]
    lines = [_short_run(m, run, least, most) for run in _runs(answers)]
    if Answer.UNSTEADY in answers:
        lines.append(m.text("faults.short_unsteady"))
    return lines


def _short_run(m: VesselManual, run: Sequence[Answer], least: float, most: float) -> str:
    first, last = run[0], run[-1]
    starts = {Answer.LOW: NOTHING_V, Answer.EXPECTED: least, Answer.HIGH: most}
    ends = {Answer.NOTHING: NOTHING_V, Answer.LOW: least, Answer.EXPECTED: most}
    if least <= -NOTHING_V:  # nothing is expected; below it there is only a minus sign
        starts, ends = {Answer.HIGH: most}, {Answer.NOTHING: most, Answer.EXPECTED: most}
        if last is Answer.LOW:
            return m.text("faults.short_minus")
    low, high = starts.get(first), ends.get(last)
    if low is None:
        return m.text("faults.anything") if high is None else f"< {volts(high)}"
    return f"> {volts(low)}" if high is None else f"{low:.1f}\N{EN DASH}{volts(high)}"


_RISING = (Answer.NOTHING, Answer.LOW, Answer.EXPECTED, Answer.HIGH)


def _runs(answers: frozenset[Answer]) -> list[list[Answer]]:
    """Answers whose voltages follow one another, put together."""
    runs: list[list[Answer]] = []
    last = -2
    for index, answer in enumerate(_RISING):
        if answer in answers:
            if index == last + 1 and runs:
                runs[-1].append(answer)
            else:
                runs.append([answer])
            last = index
    return runs


def _run_text(m: VesselManual, run: Sequence[Answer], least: float, most: float) -> str:
    first, last = run[0], run[-1]
    nothing_expected = least == -NOTHING_V
    if nothing_expected:
        # Below the band there is only a reading with a minus sign.
        if first in (Answer.NOTHING, Answer.LOW) and last is not Answer.HIGH:
            if last is Answer.EXPECTED:
                return m.text("faults.at_most", most=volts(most))
            return m.text("faults.minus", limit=volts(NOTHING_V))
        if last is Answer.HIGH:
            if first is Answer.HIGH:
                return m.text("faults.more_than", least=volts(most))
            if first is Answer.EXPECTED:
                return m.text("faults.no_minus", limit=volts(NOTHING_V))
            return m.text("faults.anything")
        return band_text(m, (least, most))
    low = {
        Answer.NOTHING: None,
        Answer.LOW: NOTHING_V,
        Answer.EXPECTED: least,
        Answer.HIGH: most,
    }[first]
    high = {
        Answer.NOTHING: NOTHING_V,
        Answer.LOW: least,
        Answer.EXPECTED: most,
        Answer.HIGH: None,
    }[last]
    if low is None and high is None:
        return m.text("faults.anything")
    if low is None:
        if last is Answer.NOTHING:
            return m.text("faults.about_nothing", limit=volts(NOTHING_V))
        return m.text("faults.less_than", most=volts(high or 0.0))
    if high is None:
        return m.text("faults.more_than", least=volts(low))
    return m.text("faults.band", least=volts(low), most=volts(high))


def rank(answers: frozenset[Answer]) -> int:
    order = (Answer.EXPECTED, *_RISING, Answer.UNSTEADY)
    return min(order.index(answer) for answer in answers)


def plain_name(m: VesselManual, device_id: str) -> str:
    """A device's code and name as text."""
    device, _ = m.devices[device_id]
    return f"{device.code} {device.title}".strip()
