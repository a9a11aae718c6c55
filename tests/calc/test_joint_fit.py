"""Which ends go together, and what the adapters between them are called."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from installgen.calc.ends import (
    ClearanceBand,
    End,
    EndKind,
    Gender,
    HoseLimits,
    published_hose_limits,
)
from installgen.calc.joints import (
    AdapterKind,
    Caution,
    Fit,
    FitVerdict,
    Joint,
    Misfit,
    Piece,
    Sealing,
    adapters_needed,
    fit,
    left_out,
    route_joints,
)
from installgen.errors import OutOfRange

LIMITS = published_hose_limits(stretch_max_ratio=0.03)
MALE, FEMALE = Gender.MALE, Gender.FEMALE
INCH = 25.4


def hose(size: str, bore_mm: float) -> End:
    return End(EndKind.HOSE, size, bore_mm)


def spigot(size: str, outside_mm: float, bore_mm: float | None = None) -> End:
    return End(EndKind.HOSE_SPIGOT, size, outside_mm, bore_mm=bore_mm)


def thread(kind: EndKind, size: str, gender: Gender, designation: str = "") -> End:
    return End(kind, size, gender=gender, thread=designation)


def names(found: Fit) -> list[str]:
    return [adapter.name for adapter in found.adapters]


HOSE_175, HOSE_15 = hose("1-3/4 in", 1.75 * INCH), hose("1-1/2 in", 1.5 * INCH)
SPIGOT_1875 = spigot("1-7/8 in", 1.875 * INCH)


def route(cooler: bool = True) -> tuple[Piece, ...]:
    pieces = (
        Piece("hose from strainer", HOSE_175, HOSE_175),
        Piece("fuel cooler", SPIGOT_1875, SPIGOT_1875),
        Piece("hose to aftercooler", HOSE_175, HOSE_175),
    )
    return pieces if cooler else left_out(pieces, "fuel cooler")


def test_a_fuel_cooler_between_smaller_hoses_needs_two_reducing_joints() -> None:
    """Common practice: 1-7/8 in ends between 1-3/4 in hoses."""
    found = route_joints(route(), LIMITS)
    assert [joint.fit.verdict for joint in found] == [FitVerdict.ADAPTER, FitVerdict.ADAPTER]
    assert [a.name for a in adapters_needed(found)] == [
        "reducing hose joint 1-7/8 in to 1-3/4 in",
        "reducing hose joint 1-7/8 in to 1-3/4 in",
    ]
    assert {joint.fit.misfit for joint in found} == {Misfit.HOSE_TOO_SMALL}


def test_the_cooler_left_out_needs_none() -> None:
    found = route_joints(route(cooler=False), LIMITS)
    assert adapters_needed(found) == ()
    assert found == (
        Joint(
            "hose from strainer",
            "hose to aftercooler",
            Fit(FitVerdict.DIRECT, Sealing.ONE_LENGTH, clear_bore_mm=1.75 * INCH),
        ),
    )


def test_leaving_out_what_is_not_there() -> None:
    with pytest.raises(OutOfRange, match="oil cooler; the method holds for hose from strainer"):
        left_out(route(), "oil cooler")


def test_hose_on_its_spigot() -> None:
    found = fit(HOSE_15, spigot("38 mm", 38.0), LIMITS)
    assert (found.verdict, found.sealing) == (FitVerdict.DIRECT, Sealing.CLAMPS)
    # A 25 mm hose stretches over a 1 in spigot, by 1.6 %.
    assert fit(hose("25 mm", 25), spigot("1 in", INCH), LIMITS).verdict is FitVerdict.DIRECT


def test_hose_too_large() -> None:
    found = fit(hose("2 in", 2 * INCH), SPIGOT_1875, LIMITS)
    assert found.misfit is Misfit.HOSE_TOO_LARGE
    assert names(found) == ["reducing hose joint 2 in to 1-7/8 in"]


def test_looseness_depends_on_the_size() -> None:
    """1.6 mm are allowed over a 1-1/2 in spigot, 0.9 mm over 3/4 in, 0.5 mm over 1/4 in."""
    for outside_mm, loose_mm, allowed in (
        (38.1, 1.6, True),
        (19.05, 1.6, False),
        (19.05, 0.85, True),
        (6.35, 0.85, False),
        (6.35, 0.5, True),
    ):
        found = fit(hose("hose", outside_mm + loose_mm), spigot("spigot", outside_mm), LIMITS)
        assert (found.verdict is FitVerdict.DIRECT) is allowed


def test_two_hoses_of_unlike_bore() -> None:
    found = fit(HOSE_15, HOSE_175, LIMITS)
    assert names(found) == ["reducing hose joint 1-3/4 in to 1-1/2 in"]


def test_two_spigots_need_a_hose() -> None:
    assert names(fit(SPIGOT_1875, SPIGOT_1875, LIMITS)) == ["short length of hose 1-7/8 in"]
    found = fit(spigot("38 mm", 38), SPIGOT_1875, LIMITS)
    assert names(found) == ["reducing hose 1-7/8 in to 38 mm"]


def test_hose_to_a_threaded_port() -> None:
    port = thread(EndKind.NPT, "1/2", FEMALE)
    found = fit(hose("19 mm", 19), port, LIMITS)
    assert names(found) == ["hose barb 1/2 NPT male × 19 mm spigot"]
    assert found.misfit is Misfit.NO_SPIGOT
    assert names(fit(port, hose("19 mm", 19), LIMITS)) == names(found)


def test_spigot_to_a_threaded_port_in_order() -> None:
    port = thread(EndKind.NPT, "1/2", FEMALE)
    there = names(fit(spigot("19 mm", 19), port, LIMITS))
    assert there == ["short length of hose 19 mm", "hose barb 1/2 NPT male × 19 mm spigot"]
    assert names(fit(port, spigot("19 mm", 19), LIMITS)) == there[::-1]


def test_hose_to_a_flange() -> None:
    flange = End(EndKind.FLANGE, "2 PN 16")
    assert names(fit(hose("2 in", 50.8), flange, LIMITS)) == [
        "flanged spigot 2 PN 16 flange × 2 in spigot"
    ]


@pytest.mark.parametrize(
    ("kind", "size", "sealing"),
    [
        (EndKind.NPT, "1/2", Sealing.SEALANT),
        (EndKind.BSPT, "3/4", Sealing.SEALANT),
        (EndKind.BSPP, "1", Sealing.WASHER),
        (EndKind.JIC, "-6", Sealing.FLARE),
        (EndKind.UNF, "9/16-18", Sealing.WASHER),
        (EndKind.METRIC, "M22x1.5", Sealing.WASHER),
    ],
)
def test_like_threads_screw_together(kind: EndKind, size: str, sealing: Sealing) -> None:
    found = fit(thread(kind, size, MALE), thread(kind, size, FEMALE), LIMITS)
    assert (found.verdict, found.sealing) == (FitVerdict.DIRECT, sealing)
    straight = kind in (EndKind.UNF, EndKind.METRIC)
    assert (Caution.SEAL_NOT_STATED in found.cautions) is straight


def test_two_of_a_gender() -> None:
    females = [thread(EndKind.NPT, "1/2", FEMALE)] * 2
    males = [thread(EndKind.NPT, "1/2", MALE)] * 2
    assert names(fit(*females, LIMITS)) == ["nipple 1/2 NPT"]
    assert names(fit(*males, LIMITS)) == ["socket 1/2 NPT"]


def test_sizes_of_one_thread() -> None:
    found = fit(thread(EndKind.NPT, "3/4", FEMALE), thread(EndKind.NPT, "1/2", MALE), LIMITS)
    assert found.misfit is Misfit.SIZES_DIFFER
    assert names(found) == ["reducing thread adapter 3/4 NPT male × 1/2 NPT female"]


@pytest.mark.parametrize("british", [EndKind.BSPP, EndKind.BSPT])
def test_american_and_british_threads_look_alike_and_do_not_fit(british: EndKind) -> None:
    found = fit(thread(EndKind.NPT, "1/2", MALE), thread(british, "1/2", FEMALE), LIMITS)
    assert (found.verdict, found.misfit) == (FitVerdict.ADAPTER, Misfit.LOOK_ALIKE)
    assert names(found) == [f"thread adapter 1/2 NPT female × 1/2 {british} male"]


def test_taper_goes_into_parallel_but_not_the_other_way() -> None:
    """ISO 7-1: parallel external threads are not jointing threads."""
    taper_male, parallel_female = (
        thread(EndKind.BSPT, "1/2", MALE),
        thread(EndKind.BSPP, "1/2", FEMALE),
    )
    found = fit(taper_male, parallel_female, LIMITS)
    assert (found.verdict, found.sealing) == (FitVerdict.DIRECT, Sealing.SEALANT)
    assert found.cautions == (Caution.TAPER_IN_PARALLEL,)
    back = fit(thread(EndKind.BSPP, "1/2", MALE), thread(EndKind.BSPT, "1/2", FEMALE), LIMITS)
    assert (back.verdict, back.misfit) == (FitVerdict.ADAPTER, Misfit.PARALLEL_IN_TAPER)


def test_flare_and_straight_port_share_a_thread_but_not_a_seat() -> None:
    flare = thread(EndKind.JIC, "-6", MALE, "9/16-18")
    port = thread(EndKind.UNF, "9/16-18", FEMALE)
    found = fit(flare, port, LIMITS)
    assert found.misfit is Misfit.SEATS_DIFFER
    assert names(found) == ["thread adapter -6 37° flare female × 9/16-18 UNF male"]


def test_spelling_does_not_matter() -> None:
    a = thread(EndKind.METRIC, "M22 x 1.5", MALE)
    b = thread(EndKind.METRIC, "m22x1.5", FEMALE)
    assert fit(a, b, LIMITS).verdict is FitVerdict.DIRECT
    inch = fit(thread(EndKind.NPT, "1/2 in", MALE), thread(EndKind.NPT, "1/2", FEMALE), LIMITS)
    assert inch.verdict is FitVerdict.DIRECT


def test_flanges_and_flat_faces() -> None:
    flange, other = End(EndKind.FLANGE, "2 PN 16"), End(EndKind.FLANGE, "2 class 150")
    face = End(EndKind.FLAT_FACE, "oval, 2 studs")
    assert fit(flange, flange, LIMITS).sealing is Sealing.GASKET
    assert names(fit(flange, other, LIMITS)) == ["flange adapter 2 PN 16 × 2 class 150"]
    port = thread(EndKind.NPT, "2", FEMALE)
    assert names(fit(port, flange, LIMITS)) == ["threaded flange 2 PN 16 × 2 NPT male"]
    assert fit(face, face, LIMITS).sealing is Sealing.GASKET
    for stranger in (flange, port, HOSE_175, End(EndKind.FLAT_FACE, "square, 4 studs")):
        found = fit(face, stranger, LIMITS)
        assert (found.verdict, found.misfit) == (FitVerdict.NONE, Misfit.MADE_FACE)


def test_a_spigots_bore_is_smaller_than_its_hose() -> None:
    known = fit(HOSE_15, spigot("1-1/2 in", 38.1, bore_mm=33.0), LIMITS)
    assert known.clear_bore_mm == 33
    assert known.cautions == (Caution.BORE_NARROWS,)
    unknown = fit(HOSE_15, spigot("1-1/2 in", 38.1), LIMITS)
    assert unknown.clear_bore_mm is None
    assert unknown.cautions == ()


def test_ends_must_be_complete() -> None:
    with pytest.raises(OutOfRange, match="the diameter of a hose is not given"):
        End(EndKind.HOSE, "1-3/4 in")
    with pytest.raises(OutOfRange, match="the gender of the NPT end"):
        End(EndKind.NPT, "1/2")
    with pytest.raises(OutOfRange, match="more than 0 mm"):
        hose("hose", 0)
    with pytest.raises(OutOfRange, match="without upper end"):
        HoseLimits((ClearanceBand(10, 0.5),), 0.03)


def some_ends() -> st.SearchStrategy[End]:
    size = st.sampled_from([("1/2", 12.7), ("3/4", 19.05), ("1-3/4 in", 44.45)])
    soft = st.builds(
        lambda kind, s: End(kind, s[0], s[1]),
        st.sampled_from([EndKind.HOSE, EndKind.HOSE_SPIGOT]),
        size,
    )
    hard = st.builds(
        lambda kind, s, gender: End(kind, s[0], gender=gender),
        st.sampled_from([k for k in EndKind if k not in (EndKind.HOSE, EndKind.HOSE_SPIGOT)]),
        size,
        st.sampled_from(Gender),
    )
    return st.one_of(soft, hard)


@given(some_ends(), some_ends())
def test_every_pair_has_an_answer_that_reads_the_same_both_ways(a: End, b: End) -> None:
    there, back = fit(a, b, LIMITS), fit(b, a, LIMITS)
    assert there.verdict is back.verdict
    assert there.misfit is back.misfit
    kinds = [adapter.kind for adapter in there.adapters]
    assert kinds == [adapter.kind for adapter in back.adapters][::-1]
    assert bool(there.adapters) is (there.verdict is FitVerdict.ADAPTER)
    assert (there.misfit is None) is (there.verdict is FitVerdict.DIRECT)
    assert (there.sealing is not None) is (there.verdict is FitVerdict.DIRECT)


def test_adapter_kinds_have_trade_names() -> None:
    assert len({str(kind) for kind in AdapterKind}) == len(AdapterKind)
