"""Where lines run between two ranks: each on a track of its own, level, with as few crossings.

A channel is the space between two ranks. Lines enter it from above and leave it below; lines of
one net (one terminal) share a track, so that they read as one conductor that branches.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field

NEAR_PX = 5.0
APART_PX = 10.0
FORBIDDEN = 1000
TRACK_PX = 7.0
LEAST_CHANNEL_PX = 12.0


@dataclass
class Net:
    """What enters and leaves a channel at one potential, or from one manifold.

    above, below: where its lines enter and leave [px]
    track: number of its track from the top, once placed
    """

    name: tuple[str, ...]
    above: set[float] = field(default_factory=set)
    below: set[float] = field(default_factory=set)
    track: int = 0

    @property
    def left(self) -> float:
        """The leftmost place it touches."""
        return min(self.above | self.below)

    @property
    def right(self) -> float:
        """The rightmost place it touches."""
        return max(self.above | self.below)

    @property
    def straight(self) -> bool:
        """Whether it falls through the channel without a level piece."""
        return self.right - self.left < 0.5


@dataclass
class Channel:
    """The room between two ranks: frames that end, arrows up, tracks, arrows down, frames begun."""

    over: float = 0.0
    tracks: int = 0
    under: float = 0.0

    @property
    def height(self) -> float:
        """From the rank above to the rank below [px]."""
        room = self.over + (self.tracks + 1) * TRACK_PX + self.under
        return max(room, LEAST_CHANNEL_PX)


def place(nets: Sequence[Net]) -> int:
    """Gives every net that needs one a track; returns how many tracks there are."""
    level = ordered([net for net in nets if not net.straight])
    placed: list[Net] = []
    for net in level:
        over = [
            other.track
            for other in placed
            if net.left - APART_PX < other.right and other.left < net.right + APART_PX
        ]
        net.track = max(over) + 1 if over else 0
        placed.append(net)
    return max((net.track for net in level), default=-1) + 1


def ordered(nets: list[Net]) -> list[Net]:
    """The nets from top to bottom: none may run over another, and few cross."""
    order = sorted(nets, key=lambda net: (net.left, net.right, net.name))
    for _ in range(len(order)):
        swapped = False
        for number in range(len(order) - 1):
            upper, lower = order[number], order[number + 1]
            if crossings(lower, upper) < crossings(upper, lower):
                order[number : number + 2] = [lower, upper]
                swapped = True
        if not swapped:
            break
    for _ in range(len(order)):
        if not any(lift(order, number) for number in range(1, len(order))):
            break
    return order


def lift(order: list[Net], number: int) -> bool:
    """Moves a net above the first one whose line it would run over; whether that was needed."""
    net = order[number]
    for place in range(number):
        if coincide(order[place], net) and not coincide(net, order[place]):
            order.insert(place, order.pop(number))
            return True
    return False


def crossings(upper: Net, lower: Net) -> int:
    """How many crossings it makes to run one net above another; many when they coincide."""
    cost = sum(upper.left < x < upper.right for x in lower.above)
    cost += sum(lower.left < x < lower.right for x in upper.below)
    return cost + FORBIDDEN * coincide(upper, lower)


def coincide(upper: Net, lower: Net) -> bool:
    """Whether upright pieces of both would lie on each other with one net above the other."""
    return any(abs(x - y) < NEAR_PX for x in upper.below for y in lower.above)


def apart(low: float, high: float, wanted: Sequence[float], step: float) -> list[float]:
    """Places near the wanted ones, in their order, a step apart where the room allows it.

    low, high: the room [px], either of them infinite
    """
    if len(wanted) > 1:
        step = min(step, (high - low) / (len(wanted) - 1))
    places: list[float] = []
    for x in wanted:
        places.append(max(x, low, places[-1] + step) if places else max(x, low))
    limit = high
    for number in range(len(places) - 1, -1, -1):
        places[number] = min(places[number], limit)
        limit = places[number] - step
    return places
