"""Lines between two ranks: tracks of their own, few crossings."""

import itertools

from hypothesis import given
from hypothesis import strategies as st

from installgen.drawings.channels import Net, apart, place


def net(name: str, above: set[float], below: set[float]) -> Net:
    return Net((name,), set(above), set(below))


def test_a_straight_line_needs_no_track() -> None:
    assert place([net("a", {10}, {10})]) == 0


def test_lines_that_do_not_meet_share_a_track() -> None:
    nets = [net("a", {0}, {50}), net("b", {100}, {150})]
    assert place(nets) == 1


def test_two_lines_to_the_left_run_without_a_crossing() -> None:
    left, right = net("a", {100}, {10}), net("b", {200}, {50})
    assert place([left, right]) == 2
    assert left.track < right.track


def test_two_lines_to_the_right_run_without_a_crossing() -> None:
    left, right = net("a", {10}, {100}), net("b", {50}, {200})
    assert place([left, right]) == 2
    assert right.track < left.track


def test_a_line_that_leaves_where_another_enters_runs_under_it() -> None:
    leaving, entering = net("a", {0}, {50}), net("b", {50}, {100})
    place([leaving, entering])
    assert entering.track < leaving.track


@given(st.lists(st.tuples(st.integers(0, 400), st.integers(0, 400)), min_size=1, max_size=12))
def test_nets_on_one_track_never_overlap(ends: list[tuple[int, int]]) -> None:
    nets = [net(str(n), {float(a)}, {float(b)}) for n, (a, b) in enumerate(ends)]
    count = place(nets)
    level = [one for one in nets if not one.straight]
    for one in level:
        assert 0 <= one.track < count
        for other in level:
            if one is not other and one.track == other.track:
                assert one.right < other.left or other.right < one.left


@given(st.lists(st.floats(0, 100), min_size=1, max_size=8))
def test_places_keep_their_order_and_their_room(wanted: list[float]) -> None:
    places = apart(10, 90, sorted(wanted), 8)
    assert places == sorted(places)
    assert all(9.999 <= x <= 90.001 for x in places)
    step = min(8, 80 / max(1, len(places) - 1))
    assert all(b - a >= step - 1e-6 for a, b in itertools.pairwise(places))
