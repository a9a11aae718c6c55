"""Builds the positioned tree from YAML's events; nothing is ever expanded or interpreted."""

import re
from collections.abc import Iterator
from dataclasses import dataclass, field

import yaml

from installgen.errors import Position, Problem, SpecErrors
from installgen.spec.nodes import Entry, MappingNode, Node, ScalarNode, SequenceNode, Style
from installgen.spec.syntax import syntax_problem
from installgen.spec.text_checks import MOST_REPORTED, hidden_sign
from installgen.units import quoted

DEEPEST = 24
"""Levels of lists and mappings within each other; specs use fewer than ten."""
MOST_NODES = 100_000
"""Keys and values in one file; a very long spec has a fifth of that."""

_Loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_ONE_LINE = (
    "a key with its colon on each line; a long text in quotation marks, or indented after `|`"
)
_STYLES: dict[str, Style] = {"'": "quoted", '"': "quoted", "|": "block", ">": "block"}


@dataclass
class _Open:
    """A mapping or a list that has begun: nodes in turn, keys and values alternating."""

    start: Position
    is_mapping: bool
    nodes: list[Node] = field(default_factory=list)


class _Stop(Exception):
    """Reading further is of no use; the problems so far say why."""


class _Builder:
    def __init__(self, name: str) -> None:
        self.name = name
        self.problems: list[Problem] = []
        self.open: list[_Open] = []
        self.root: Node | None = None
        self.documents = 0
        self.nodes = 0
        self.joined: tuple[Position, int] | None = None

    def take(self, event: yaml.Event) -> None:
        self.nodes += 1
        if self.nodes > MOST_NODES:
            self.report(event, f"more than {MOST_NODES} keys and values", "a smaller spec")
            raise _Stop
        if isinstance(event, yaml.AliasEvent):
            self.report(event, f"the alias {quoted(f'*{event.anchor}')}", "the value, written out")
            self.add(ScalarNode(self.at(event), "", "quoted"))
        elif isinstance(event, yaml.ScalarEvent):
            self.check_properties(event)
            style = _STYLES.get(event.style or "", "plain")
            self.check_text(event, style)
            self.add(ScalarNode(self.at(event), event.value, style))
        elif isinstance(event, yaml.CollectionStartEvent):
            self.check_properties(event)
            self.check_depth(event)
            self.open.append(_Open(self.at(event), isinstance(event, yaml.MappingStartEvent)))
        elif isinstance(event, yaml.CollectionEndEvent):
            closed = self.open.pop()
            self.add(self.mapping(closed) if closed.is_mapping else self.sequence(closed))
        elif isinstance(event, yaml.DocumentStartEvent):
            self.documents += 1
            if self.documents > 1:
                self.report(event, "a second document (“---”)", "one document in a file")
                raise _Stop

    def at(self, event: yaml.Event) -> Position:
        mark = event.start_mark
        assert mark is not None  # both loaders mark every event
        return Position(self.name, mark.line + 1, mark.column + 1)

    def report(self, place: yaml.Event | Position, found: str, expected: str) -> None:
        position = place if isinstance(place, Position) else self.at(place)
        self.problems.append(Problem(position, "", found, expected))
        if len(self.problems) >= MOST_REPORTED:
            raise _Stop

    def check_properties(self, event: yaml.ScalarEvent | yaml.CollectionStartEvent) -> None:
        """Anchors and tags; an event has neither unless somebody wrote it."""
        if event.anchor:
            self.report(
                event, f"the anchor {quoted(f'&{event.anchor}')}", "a value without an anchor"
            )
        if event.tag:
            tag = event.tag.replace("tag:yaml.org,2002:", "!!")
            self.report(event, f"the tag {quoted(tag)}", "a value without a tag")

    def check_text(self, event: yaml.ScalarEvent, style: Style) -> None:
        if sign := hidden_sign(event.value):
            self.report(event, f"{sign}, written as an escape", "text without control characters")
        if style == "plain" and (lines := _lines(event)) > 1:
            found = f"{quoted(event.value)}, one text over {lines} lines"
            self.joined = (self.at(event), self.at(event).line + lines - 1)
            self.report(event, found, _ONE_LINE)

    def problems_before(self, stop: Problem) -> list[Problem]:
        """The problems that a syntax error leaves worth telling: none that it is the cause of."""
        before = [one for one in self.problems if one.position < stop.position]
        if self.joined is not None and self.joined[1] == stop.position.line:
            before = [one for one in before if one.position != self.joined[0]]
        return before

    def check_depth(self, event: yaml.Event) -> None:
        if len(self.open) >= DEEPEST:
            found = f"more than {DEEPEST} levels of lists and mappings within each other"
            self.report(event, found, "a flatter spec")
            raise _Stop

    def add(self, node: Node) -> None:
        if self.open:
            self.open[-1].nodes.append(node)
        else:
            self.root = node

    def sequence(self, closed: _Open) -> SequenceNode:
        return SequenceNode(closed.start, tuple(closed.nodes))

    def mapping(self, closed: _Open) -> MappingNode:
        entries: dict[str, Entry] = {}
        for key, value in zip(closed.nodes[::2], closed.nodes[1::2], strict=True):
            if not isinstance(key, ScalarNode):
                kind = "a list" if isinstance(key, SequenceNode) else "a mapping"
                self.report(key.position, f"{kind} as a key", "a word as a key")
            elif not key.text:
                self.report(key.position, "a value without a key", "a word before the colon")
            elif key.text in entries:
                line = entries[key.text].key.position.line
                found = f"the key {quoted(key.text)} again (the first stands in line {line})"
                self.report(key.position, found, "each key once")
            elif _lacks_space(key, value):
                found = f"{quoted(key.text)}, a colon without a space after it"
                self.report(key.position, found, "`key: value`, with a space")
            else:
                entries[key.text] = Entry(key, value)
        return MappingNode(closed.start, tuple(entries.values()))


def _lines(event: yaml.Event) -> int:
    start, end = event.start_mark, event.end_mark
    assert start is not None  # both loaders mark every event
    assert end is not None
    return end.line - start.line + 1


def _lacks_space(key: ScalarNode, value: Node) -> bool:
    blank = isinstance(value, ScalarNode) and value.is_blank
    return blank and key.style == "plain" and re.search(r"[^:\s]:\S", key.text) is not None


def build(text: str, name: str) -> MappingNode:
    """The tree of a text that holds one mapping. Raises SpecErrors with every problem found."""
    builder = _Builder(name)
    try:
        for event in _events(text):
            builder.take(event)
    except _Stop:
        raise SpecErrors(builder.problems) from None
    except yaml.MarkedYAMLError as error:
        problem = syntax_problem(error, text, name)
        raise SpecErrors([*builder.problems_before(problem), problem]) from error
    except yaml.YAMLError as error:
        position = Position(name, 1, 1)
        problem = Problem(position, "", "text that is not YAML", "a mapping of keys and values")
        raise SpecErrors([*builder.problems, problem]) from error
    root = builder.root
    if not isinstance(root, MappingNode):
        builder.problems.append(_not_a_mapping(root, name))
    if builder.problems:
        raise SpecErrors(builder.problems)
    assert isinstance(root, MappingNode)
    return root


def _events(text: str) -> Iterator[yaml.Event]:
    return yaml.parse(text.removeprefix("\ufeff"), Loader=_Loader)


def _not_a_mapping(root: Node | None, name: str) -> Problem:
    position = root.position if root else Position(name, 1, 1)
    if root is None or (isinstance(root, ScalarNode) and root.is_blank):
        found = "a file that holds only comments"
    elif isinstance(root, SequenceNode):
        found = "a list"
    else:
        found = "a text"
    return Problem(position, "", found, "a mapping of keys and values at the top of the file")
