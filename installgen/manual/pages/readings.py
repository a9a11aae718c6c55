"""Expected readings: every terminal in every case, beside what was read at commissioning."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from installgen.analysis.cases import DcCase
from installgen.analysis.readings import EngineReadings, ExpectedReading
from installgen.findings.finding import Finding
from installgen.manual.blocks import (
    Block,
    Bullets,
    Facts,
    Line,
    Link,
    Page,
    Paragraph,
    Row,
    Stack,
    Target,
    Verdict,
)
from installgen.manual.links import FINDINGS, READINGS
from installgen.manual.pages.common import blank_column, columns, table
from installgen.manual.pages.electrical import case_name, device_place, terminal_line
from installgen.manual.pages.fault_cases import case_cautions, case_line
from installgen.manual.pages.findings import VERDICTS, finding_anchor, plain_limit
from installgen.manual.pages.reading_words import (
    amperes,
    meter_range,
    plain_name,
    reading_text,
    with_working,
)
from installgen.manual.vessel_manual import VesselManual, sentence
from installgen.spec.vessel_spec import Reading

CHECK = "reading-within"


def case_page(m: VesselManual, engine: str, case: DcCase) -> str:
    """Id of the page of one case's readings; engines may begin in one and the same case."""
    if not m.several:
        return f"{READINGS}-{case.id}"
    return f"{READINGS}-{engine}-{case.id.removeprefix(f'{engine}.')}"


def readings_page(m: VesselManual) -> Iterator[Block]:
    """How to read, the cases, and what was read at commissioning; nothing without a circuit."""
    if not m.readings:
        return
    yield m.caution("warning", "faults.caution_moving", "faults.caution_battery")
    yield m.paragraph("readings.intro")
    for engine_readings in m.readings:
        engine = m.vessel.engine(engine_readings.engine)
        yield m.heading_of("readings.cases_heading", "cases", engine)
        yield Bullets(
            tuple(
                Link(
                    sentence(_case_title(m, engine_readings.engine, case)),
                    Target(case_page(m, engine_readings.engine, case)),
                )
                for case in engine_readings.cases
            )
        )
    yield m.paragraph("readings.method")
    yield m.paragraph("readings.left_out")
    yield from _taken(m)


def reading_pages(m: VesselManual) -> list[Page]:
    """The page of every case of every engine."""
    taken = {(r.case, r.of): r for r in m.vessel.spec.readings}
    pages = []
    for found in m.readings:
        for case in found.cases:
            title = m.text("readings.title", case=_case_title(m, found.engine, case))
            blocks = tuple(_case_blocks(m, found, case, taken))
            page_id = case_page(m, found.engine, case)
            pages.append(Page(page_id, title, blocks, "start-run-stop", READINGS))
    return pages


def _case_title(m: VesselManual, engine: str, case: DcCase) -> str:
    words = case.state(engine).words
    if not m.several:
        return words
    return f"{m.engine_name(m.vessel.engine(engine)).lower()}, {words}"


def _case_blocks(
    m: VesselManual,
    found: EngineReadings,
    case: DcCase,
    taken: Mapping[tuple[str, str], Reading],
) -> Iterator[Block]:
    yield m.paragraph("readings.way_up", all=Link(m.text("titles.readings"), Target(READINGS)))
    yield case_cautions(m, case.state(found.engine).state)
    black = plain_name(m, found.black.rpartition(".")[0])
    yield Facts(
        (
            (m.text("faults.do"), case_line(m, found.engine, case)),
            (
                m.text("faults.meter"),
                m.say("faults.meter_range", range=meter_range(m), battery=black),
            ),
            (m.text("readings.who"), m.text("readings.who_blank")),
        )
    )
    for place, readings in _by_place(m, found, case):
        days = [taken.get((case.id, reading.node)) for reading in readings]
        yield from table(
            m.text("readings.caption", place=place),
            (*columns(m, "red_lead should_show at_commissioning"), blank_column(m)),
            (_row(m, reading, day) for reading, day in zip(readings, days, strict=True)),
            stack=any(days),  # a date is too wide for a telephone's fourth column
        )


def _by_place(
    m: VesselManual, found: EngineReadings, case: DcCase
) -> list[tuple[str, list[ExpectedReading]]]:
    """The readings by the space they are taken in, so that nobody walks twice."""
    places: dict[str, list[ExpectedReading]] = {}
    here = found.by_case[case.id]
    order = [
        f"{device_id}.{terminal}"
        for device_id, (device, _) in m.devices.items()
        for terminal in device.terminals
    ]
    order += [node for node in here if node not in order]
    for node in (node for node in order if node in here):
        device = m.devices.get(node.rpartition(".")[0])
        place = m.text("phrases.on_engine") if device is None else device_place(m, *device)
        name = place if isinstance(place, str) and place else m.text("readings.no_place")
        places.setdefault(name, []).append(here[node])
    return list(places.items())


def _row(m: VesselManual, reading: ExpectedReading, taken: Reading | None) -> Row:
    shown: Line = _should_show(m, reading)
    if reading.under_load:
        flow = with_working(m, reading.case, amperes(reading.flow_a))
        load = m.say("readings.under_load", amps=flow)
        shown = Stack((shown, load))
    day: Line = "" if taken is None else Stack((taken.value, taken.date))
    return Row((terminal_line(m, reading.node), shown, day, ""))


def _should_show(m: VesselManual, reading: ExpectedReading) -> Line:
    band = reading.widened_v
    if band is None:
        return m.text("readings.anything")
    return with_working(m, reading.case, reading_text(m, band))


# ---- what was read at commissioning -----------------------------------------------------------


def _taken(m: VesselManual) -> Iterator[Block]:
    """Every reading with its verdict, those that deviate first."""
    readings = m.vessel.spec.readings
    yield m.heading("readings.taken_heading", "taken")
    if not readings:
        yield m.paragraph("readings.none_taken")
        return
    judged = {f.subject: f for f in m.findings.items if f.check == CHECK}
    rows = [
        (reading, judged.get(f"reading.{number}"))
        for number, reading in enumerate(readings, start=1)
    ]
    expected = {(one.case.id, one.node): one for found in m.readings for one in found.readings}
    rows.sort(key=lambda item: item[1] is None or item[1].verdict == "pass")
    deviating = [f for _, f in rows if f is not None and f.verdict in ("fail", "caution")]
    if deviating:
        yield m.paragraph("readings.deviations", count=str(len(deviating)))
    elif judged:
        yield m.paragraph("readings.no_deviation")
    yield from table(
        m.text("readings.taken_caption"),
        columns(m, "reading_of case value# should_show verdict asked instrument by date loading"),
        (_taken_row(m, reading, finding, expected) for reading, finding in rows),
    )
    missing = _not_recorded(m, readings)
    if missing:
        yield Paragraph(m.say("readings.not_recorded", which=missing))


def _taken_row(
    m: VesselManual,
    reading: Reading,
    finding: Finding | None,
    expected: Mapping[tuple[str, str], ExpectedReading],
) -> Row:
    should = expected.get((reading.case, reading.of))
    of = terminal_line(m, reading.of)
    if reading.of in m.book:
        of = m.book[reading.of].name
    verdict: Line = ""
    limit: Line = ""
    if finding is not None:
        verdict = Verdict(VERDICTS[finding.verdict])
        if finding.verdict != "pass":
            limit = plain_limit(m, finding)
            link = Link(m.text("titles.findings"), Target(FINDINGS, finding_anchor(finding)))
            reason = sentence(finding.reason) if finding.reason else ""
            limit = Stack((limit, reason, link))
    return Row(
        (
            of,
            case_name(m, reading.case) if reading.case else "",
            reading.value,
            "" if should is None else _should_show(m, should),
            verdict,
            limit,
            reading.instrument,
            reading.by,
            reading.date,
            reading.loading,
        )
    )


def _not_recorded(m: VesselManual, readings: Sequence[Reading]) -> str:
    """The readings that do not say with what, when, by whom or at which loading."""
    lacking = [
        f"{reading.of} ({', '.join(m.text(f'columns.{gap}').lower() for gap in gaps)})"
        for reading in readings
        if (
            gaps := [
                name
                for name in ("instrument", "by", "date", "loading")
                if not getattr(reading, name)
            ]
        )
    ]
    return "; ".join(lacking)
