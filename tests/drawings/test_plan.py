"""An engine's connection points by side."""

import xml.etree.ElementTree as ET

from installgen.drawings.plan import HEADINGS, Place, engine_plan
from installgen.drawings.tables import tables_of
from tests.drawings import samples
from tests.drawings.boxes import faults, measure


def test_every_point_is_in_its_zone() -> None:
    plan = samples.plan()
    points = samples.connection_points()
    assert len(points) == 30
    boxes = {box.owner: box for box in measure(plan.svg).owners}
    by_place = {
        place: [boxes[f"engine-plan--{p.id}"] for p in points if p.place is place]
        for place in Place
    }
    for front in by_place[Place.FRONT]:
        assert all(front.bottom < port.top for port in by_place[Place.PORT])
    for rear in by_place[Place.REAR]:
        assert all(star.bottom < rear.top for star in by_place[Place.STARBOARD])
    for top in (*by_place[Place.TOP], *by_place[Place.BELOW]):
        assert all(port.right < top.left for port in by_place[Place.PORT])
        assert all(top.right < star.left for star in by_place[Place.STARBOARD])


def test_its_table_says_the_same() -> None:
    (table,) = tables_of(samples.plan().drawing)
    assert len(table.rows) == 30
    assert {row[2].text for row in table.rows} == set(HEADINGS.values())


def test_an_engine_without_points_or_with_one_is_drawn() -> None:
    one = samples.connection_points()[:1]
    for points in ([], one):
        plan = engine_plan("e", "T", "D", "x" * 200, points)
        assert faults(plan.svg) == []
        ET.fromstring(plan.svg)
