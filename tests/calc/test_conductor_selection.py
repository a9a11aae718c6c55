"""Choosing sizes together: what governs, what is shared, what cannot be done."""

import itertools
import math
import random
from collections.abc import Mapping
from dataclasses import replace

import pytest

from installgen.calc.conductor_selection import (
    DropPath,
    FixedPiece,
    Selection,
    select_conductors,
)
from installgen.calc.conductors import (
    ConductorSize,
    Finish,
    area_mm2,
    awg,
    conductor_resistance_ohm,
    metric,
    sae,
)
from installgen.calc.protection import RatingRule
from installgen.calc.size_criteria import Criterion, DeviceNeed, OpenPiece
from installgen.errors import OutOfRange

AWG_STOCK = (
    *(awg(str(number)) for number in (18, 16, 14, 12, 10, 8, 6, 4, 2, 1)),
    *(awg(f"{noughts}/0") for noughts in (1, 2, 3, 4)),
)


def piece(
    label: str = "P1",
    *,
    length_m: float = 3.0,
    current_a: Mapping[str, float] | None = None,
    carries_a: float | None = 10.0,
    stocked: tuple[ConductorSize, ...] = AWG_STOCK,
    insulation_c: float = 105,
    in_engine_space: bool = False,
    device: DeviceNeed | None = None,
    group: str = "",
) -> OpenPiece:
    return OpenPiece(
        label=label,
        length_m=length_m,
        temperature_c=50.0,
        current_a={"run": 10.0} if current_a is None else current_a,
        carries_a=carries_a,
        stocked=stocked,
        insulation_c=insulation_c,
        in_engine_space=in_engine_space,
        device=device,
        group=group,
    )


def path(
    limit_v: float, *members: str, cases: tuple[str, ...] = ("run",), name: str = "feed"
) -> DropPath:
    return DropPath(name, members, limit_v, cases)


def sizes(selection: Selection) -> dict[str, str]:
    return {
        outcome.piece.label: str(outcome.chosen.size)
        for outcome in selection.pieces
        if outcome.chosen
    }


def test_drop_governs() -> None:
    # 10 A over 3 m at 50 °C: 12 AWG loses 0.179 V, 10 AWG 0.112 V (NFPA 70 Ch. 9 T. 8, by hand).
    selection = select_conductors([piece()], [], [path(0.15, "P1")])
    assert sizes(selection) == {"P1": "10 AWG"}
    (outcome,) = selection.pieces
    assert outcome.governing == (Criterion.DROP,)
    assert {criterion: str(size) for criterion, size in outcome.own_sizes.items()} == {
        Criterion.DROP: "10 AWG",
        Criterion.AMPACITY: "18 AWG",
        Criterion.MINIMUM: "16 AWG",
    }
    (feed,) = selection.paths
    assert feed.met
    assert feed.drop_v == pytest.approx(0.1119, abs=0.001)
    assert selection.copper_mm2_m == pytest.approx(3 * 5.261, rel=1e-3)


def test_ampacity_governs_in_an_engine_space() -> None:
    # 50 A at 105 °C: 10 AWG carries 60 A outside, 51 A inside an engine space; 8 AWG 68 A.
    short = piece(length_m=0.3, current_a={"run": 52.0}, carries_a=52.0)
    outside = select_conductors([short], [], [path(1.0, "P1")])
    inside = select_conductors([replace(short, in_engine_space=True)], [], [path(1.0, "P1")])
    assert sizes(outside) == {"P1": "10 AWG"}
    assert sizes(inside) == {"P1": "8 AWG"}
    assert inside.pieces[0].governing == (Criterion.AMPACITY,)


def test_the_mechanical_minimum_governs() -> None:
    selection = select_conductors(
        [piece(length_m=0.5, current_a={"run": 0.2}, carries_a=0.2)], [], [path(1.0, "P1")]
    )
    assert sizes(selection) == {"P1": "16 AWG"}
    assert selection.pieces[0].governing == (Criterion.MINIMUM,)


def test_the_stock_governs_when_its_smallest_size_does() -> None:
    selection = select_conductors(
        [piece(length_m=0.5, stocked=(awg("6"), awg("10")))], [], [path(1.0, "P1")]
    )
    assert sizes(selection) == {"P1": "10 AWG"}
    assert selection.pieces[0].governing == (Criterion.STOCK,)


def test_protection_governs_and_gives_the_rating() -> None:
    # 20 A load asks for 25 A; the stock has 30 A next, so the conductor must carry 30 A: at 105 °C
    # 14 AWG carries 35 A, 16 AWG only 25 A.
    device = DeviceNeed(load_a=20.0, rule=RatingRule(), stocked_a=(10.0, 20.0, 30.0, 40.0))
    selection = select_conductors(
        [piece(length_m=0.3, current_a={"run": 20.0}, carries_a=20.0, device=device)],
        [],
        [path(1.0, "P1")],
    )
    (outcome,) = selection.pieces
    assert outcome.chosen is not None
    assert (str(outcome.chosen.size), outcome.chosen.device_a) == ("14 AWG", 30.0)
    assert outcome.governing == (Criterion.PROTECTION,)
    assert str(outcome.own_sizes[Criterion.AMPACITY]) == "18 AWG"


def test_a_fitted_device_asks_for_its_conductor() -> None:
    # A 60 A fuse stands: the conductor must carry 60 A whatever its load, 10 AWG at 105 °C.
    device = DeviceNeed(load_a=5.0, rule=RatingRule(), fitted_a=60.0)
    selection = select_conductors([piece(device=device)], [], [path(3.0, "P1")])
    assert sizes(selection) == {"P1": "10 AWG"}
    assert selection.pieces[0].governing == (Criterion.PROTECTION,)


def test_cranking_is_exempt_from_ampacity_only() -> None:
    # 350 A for seconds: no ampacity asked, 1.0 V allowed, joints of 0.1 mΩ each counted.
    legs = [
        piece(label, length_m=2.0, current_a={"crank": 350.0}, carries_a=None)
        for label in ("S1", "N1")
    ]
    joints = FixedPiece("joints", 0.4e-3, {"crank": 350.0})
    limit = path(1.0, "S1", "joints", "N1", cases=("crank",))
    selection = select_conductors(legs, [joints], [limit])
    # 0.86 V are left for 4 m: 2 AWG twice loses 0.819 V (0.194 ohm/kft at 75 °C), by hand.
    assert sizes(selection) == {"S1": "2 AWG", "N1": "2 AWG"}
    (outcome,) = selection.paths
    assert outcome.met
    assert outcome.fixed_v == pytest.approx(0.14)
    assert outcome.drop_v == pytest.approx(0.14 + 0.819, abs=0.001)
    assert Criterion.AMPACITY not in selection.pieces[0].own_sizes


def test_no_stocked_size_does_it() -> None:
    selection = select_conductors(
        [piece(length_m=20.0, current_a={"run": 100.0}, stocked=(awg("6"), awg("4")))],
        [],
        [path(0.36, "P1")],
    )
    assert not selection.found
    assert selection.pieces[0].chosen is None
    assert selection.pieces[0].governing == ()
    assert selection.pieces[0].own_sizes[Criterion.DROP] is None
    # The least the stock allows: 4 AWG, 0.308 ohm/kft at 75 °C brought to 50 °C, by hand.
    drop = 100 * 20 / 304.8 * 0.308 * (1 + 0.00393 * 30) / (1 + 0.00393 * 55)
    assert selection.paths[0].drop_v == pytest.approx(drop, rel=1e-9)
    assert not selection.paths[0].met


def test_a_piece_that_nothing_in_stock_fits_is_told_apart() -> None:
    """300 A continuous: no stocked size carries it, though the path would keep its limit."""
    hungry = piece("P1", length_m=0.2, carries_a=300.0, stocked=(awg("6"), awg("4")))
    selection = select_conductors([hungry, piece("P2", length_m=0.2)], [], [path(1.0, "P1", "P2")])
    assert not selection.found
    assert [outcome.nothing_fits for outcome in selection.pieces] == [True, False]
    assert selection.pieces[0].own_sizes[Criterion.AMPACITY] is None
    assert selection.paths[0].met


def test_joints_alone_can_use_up_the_limit() -> None:
    joint = FixedPiece("switch", 0.05, {"run": 10.0})
    selection = select_conductors([piece()], [joint], [path(0.36, "P1", "switch")])
    assert not selection.found
    assert selection.paths[0].fixed_v == pytest.approx(0.5)


def test_a_size_without_a_figure_is_told_and_never_chosen() -> None:
    # 0.75 mm² has no ampacity but from memory; 1 mm² has.
    selection = select_conductors(
        [
            piece(
                length_m=0.2,
                current_a={"run": 1.0},
                carries_a=1.0,
                stocked=(metric(0.75), metric(1), metric(1.5)),
            )
        ],
        [],
        [path(1.0, "P1")],
    )
    assert sizes(selection) == {"P1": "1 mm²"}
    smallest = selection.pieces[0].judged[0]
    assert smallest.ampacity is None
    assert "from memory" in smallest.not_covered
    assert Criterion.AMPACITY in smallest.fails


def test_tinned_sae_cable_has_no_resistance_and_is_never_chosen() -> None:
    tinned = replace(piece(stocked=(sae("4"),), carries_a=None), finish=Finish.TINNED)
    selection = select_conductors([tinned], [], [path(1.0, "P1")])
    assert not selection.found
    assert "tinned" in selection.pieces[0].judged[0].not_covered
    assert selection.paths[0].drop_v == math.inf


def test_cores_of_one_cable_get_one_size() -> None:
    feed = piece("out", group="cable", current_a={"run": 20.0})
    back = piece("back", group="cable", current_a={"run": 20.0}, carries_a=55.0)
    selection = select_conductors([feed, back], [], [path(1.5, "out", "back")])
    assert sizes(selection) == {"out": "10 AWG", "back": "10 AWG"}  # 60 A at 105 °C
    assert selection.pieces[0].governing == (Criterion.AMPACITY,)


def test_a_shared_piece_serves_both_paths() -> None:
    """Main feed of two branches; each branch has its own case and the main carries both."""
    main = piece("main", length_m=4.0, current_a={"a": 30.0, "both": 50.0}, carries_a=50.0)
    first = piece("first", length_m=2.0, current_a={"a": 30.0, "both": 30.0}, carries_a=30.0)
    second = piece("second", length_m=6.0, current_a={"both": 20.0}, carries_a=20.0)
    paths = [
        path(0.36, "main", "first", cases=("a", "both"), name="one"),
        path(0.6, "main", "second", cases=("both",), name="two"),
    ]
    selection = select_conductors([main, first, second], [], paths)
    assert selection.found
    assert all(outcome.met for outcome in selection.paths)
    assert len(selection.paths) == 3
    # Independently: try every combination.
    best = min(
        sum(area_mm2(s) * p.length_m for s, p in zip(combo, (main, first, second), strict=True))
        for combo in itertools.product(AWG_STOCK, repeat=3)
        if 50 * conductor_resistance_ohm(combo[0], 4.0, 50.0)
        + 30 * conductor_resistance_ohm(combo[1], 2.0, 50.0)
        <= 0.36
        and 50 * conductor_resistance_ohm(combo[0], 4.0, 50.0)
        + 20 * conductor_resistance_ohm(combo[2], 6.0, 50.0)
        <= 0.6
    )
    assert selection.copper_mm2_m == pytest.approx(best, rel=1e-12)


@pytest.mark.parametrize("seed", range(20))
def test_what_governs_is_what_the_next_smaller_size_breaks(seed: int) -> None:
    """No size can be taken one down, whatever was chosen."""
    draw = random.Random(seed)
    pieces = [
        piece(
            f"P{i}",
            length_m=draw.uniform(0.5, 6),
            current_a={"run": draw.uniform(1, 60), "start": draw.uniform(0, 60)},
            carries_a=draw.uniform(1, 60),
        )
        for i in range(5)
    ]
    labels = [p.label for p in pieces]
    paths = [
        path(draw.uniform(0.4, 1.5), *labels[:3], cases=("run", "start"), name="one"),
        path(draw.uniform(0.4, 1.5), *labels[2:], cases=("run",), name="two"),
    ]
    selection = select_conductors(pieces, [], paths)
    assert selection.found
    for outcome in selection.pieces:
        assert outcome.chosen is not None
        assert outcome.chosen.fails == ()
        assert outcome.governing
        smaller = [s for s in AWG_STOCK if area_mm2(s) < outcome.chosen.copper_mm2]
        if not smaller:
            assert outcome.governing == (Criterion.STOCK,)
            continue
        one_down = replace(outcome.piece, stocked=(max(smaller, key=area_mm2),))
        rest = [
            replace(o.piece, stocked=(o.chosen.size,))
            for o in selection.pieces
            if o is not outcome and o.chosen
        ]
        assert not select_conductors([one_down, *rest], [], paths).found


def test_direction_of_the_current_does_not_matter() -> None:
    forward = select_conductors([piece()], [], [path(0.15, "P1")])
    backward = select_conductors([piece(current_a={"run": -10.0})], [], [path(0.15, "P1")])
    assert sizes(forward) == sizes(backward)


def test_labels_must_match() -> None:
    with pytest.raises(ValueError, match="no piece is labelled P2"):
        select_conductors([piece()], [], [path(1.0, "P1", "P2")])
    with pytest.raises(ValueError, match="two pieces are labelled P1"):
        select_conductors([piece(), piece()], [], [])
    with pytest.raises(OutOfRange, match="length of P1"):
        select_conductors([piece(length_m=0.0)], [], [])


def test_a_piece_on_no_path_still_gets_a_size() -> None:
    selection = select_conductors([piece(carries_a=50.0)], [], [])
    assert sizes(selection) == {"P1": "10 AWG"}
