"""From a positioned tree to a checked entry: every mistake becomes one `Problem`."""

from __future__ import annotations

import typing
from collections.abc import Iterator, Mapping
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from installgen.errors import Problem, SpecErrors
from installgen.spec.commas import mend
from installgen.spec.entry import Entry, Origin, PathKey, written, yaml_key
from installgen.spec.folder import nearest
from installgen.spec.nodes import MappingNode, Node, ScalarNode, SequenceNode, node_at
from installgen.spec.printers_quotes import straighten

E = TypeVar("E", bound=Entry)

YES_AND_NO = {
    **dict.fromkeys(("yes", "true", "on", "y", "1"), "yes"),
    **dict.fromkeys(("no", "false", "off", "n", "0"), "no"),
}
"""What a person may mean by yes and no; a spec says `yes` or `no`."""


def read_entry(model: type[E], root: MappingNode) -> E:
    """Check a whole document against its model.

    Returns the frozen entry, each of its parts knowing its place.
    Raises SpecErrors with every mistake of the document.
    """
    root, torn = mend(root)
    root, curled = straighten(root)
    problems = {text.path: text.problem for text in torn}
    problems |= {text.path: text.problem for text in curled}
    try:
        entry = model.model_validate(root.plain())
    except ValidationError as error:
        for detail in error.errors():
            problems.pop(tuple(spec_path(detail["loc"], root)), None)
        raise SpecErrors([*_told(error, model, root), *problems.values()]) from None
    if problems:
        raise SpecErrors(problems.values())
    attach(entry, root, ())
    return entry


def _told(error: ValidationError, model: type[BaseModel], root: MappingNode) -> list[Problem]:
    """Every mistake once: a key that is mistyped is not told as missing besides."""
    told = [(detail, _problem(detail, model, root)) for detail in error.errors()]
    mistyped = {
        (problem.path, problem.instead)
        for detail, problem in told
        if detail["type"] == "extra_forbidden"
    }
    stray = [
        spec_path(detail["loc"], root) for detail, _ in told if detail["type"] == "extra_forbidden"
    ]
    return [
        problem
        for detail, problem in told
        if detail["type"] != "missing"
        or not (
            (problem.path, f"`{spec_path(detail['loc'], root)[-1]}`") in mistyped
            or _is_beside(spec_path(detail["loc"], root), stray)
        )
    ]


def _is_beside(missing: list[PathKey], stray: list[list[PathKey]]) -> bool:
    """Whether a key that an entry lacks stands one level further out or in."""
    return any(
        other[:-1] == missing[:-2] or other[:-2] == missing[:-1]
        for other in stray
        if other[-1] == missing[-1]
    )


def attach(
    value: Any, node: Node, path: tuple[PathKey, ...], paths: Mapping[Any, Any] | None = None
) -> None:
    """Let every entry in a value know its place.

    paths: by kind and position of a node its path in the file, where nodes have been taken out
    """
    if isinstance(value, Entry):
        fields = {}
        path = path if paths is None else paths.get((type(node), node.position), path)
        if isinstance(node, MappingNode):
            for field in value.model_fields_set:
                key = yaml_key(type(value), field)
                child = node.get(key)
                if child is not None:
                    fields[field] = child.position
                    attach(getattr(value, field), child, (*path, key), paths)
        value.attach(Origin(node.position, path, fields))
    elif isinstance(value, list | tuple) and isinstance(node, SequenceNode):
        for index, (item, child) in enumerate(zip(value, node.items, strict=True)):
            attach(item, child, (*path, index), paths)
    elif isinstance(value, Mapping) and isinstance(node, MappingNode):
        for key, item in value.items():
            child = node.get(key)
            if child is not None:
                attach(item, child, (*path, key), paths)


def _problem(detail: ErrorDetails, model: type[BaseModel], root: MappingNode) -> Problem:
    kind = detail["type"]
    path = spec_path(detail["loc"], root)
    if kind == "missing":
        *parent, key = path
        field = _field(model, tuple(path))
        return Problem(
            root.position_of(tuple(parent)),
            written(tuple(parent)),
            f"no `{key}`",
            f"`{key}`" + (f" ({field})" if field else ""),
        )
    if kind == "extra_forbidden":
        return _unknown_key(path, model, root)
    found, expected, instead = error_words(detail)
    return Problem(root.position_of(tuple(path)), written(tuple(path)), found, expected, instead)


def _unknown_key(path: list[PathKey], model: type[BaseModel], root: MappingNode) -> Problem:
    """A key that its entry does not have: the nearest one that is not there yet, or whose it is."""
    *above, key = path
    parent = node_at(root, tuple(above))
    there = {pair.key.text for pair in parent.entries} if isinstance(parent, MappingNode) else set()
    keys = _known_keys(model, tuple(above), root)
    if "options" not in model.model_fields:  # conditions are for engine sheets, which offer options
        keys = [one for one in keys if one != "fitted_when"]
    guess = nearest(str(key), keys)
    expected = "one of " + ", ".join(f"`{one}`" for one in keys)
    # A change to try has its own place: it may mean the key that is there.
    is_tried = root.position_of(tuple(path), key=True).file != root.position.file
    if guess in there and not is_tried:
        guess, expected = None, f"{expected} (`{guess}` is there already)"
    elif guess is None and (owner := _owner(str(key), above, model, root)):
        expected = f"`{key}` {owner}; here {expected}"
    return Problem(
        root.position_of(tuple(path), key=True),
        written(tuple(above)),
        f"the unknown key `{_short(str(key))}`",
        expected,
        f"`{guess}`" if guess else "",
    )


def _owner(key: str, above: list[PathKey], model: type[BaseModel], root: MappingNode) -> str:
    """Where a key that stands too far out or in belongs; empty where nowhere near."""
    for candidate in _model_at(model, tuple(above), root):
        for name, info in candidate.model_fields.items():
            inner = [one for one in _models(info.annotation) if key in _keys_of(one)]
            if inner:
                return f"indented, as a key of `{info.alias or name}`"
    for depth in range(len(above) - 1, -1, -1):
        if isinstance(above[depth], str) and key in _known_keys(model, tuple(above[:depth]), root):
            return f"indented less, beside `{above[depth]}`"
    return ""


def _keys_of(model: type[BaseModel]) -> list[str]:
    return [info.alias or name for name, info in model.model_fields.items()]


def error_words(detail: ErrorDetails) -> tuple[str, str, str]:
    """What was found, what was expected and what to write instead, of one refused value."""
    kind, context = detail["type"], detail.get("ctx", {})
    if kind.startswith("installgen_"):
        return str(context["found"]), str(context["expected"]), str(context.get("instead", ""))
    found = describe(detail["input"])
    if kind == "literal_error":
        choices = str(context["expected"]).replace("'", "`")
        names = [part.strip("'` ") for part in choices.replace(" or ", ",").split(",")]
        guess = nearest(str(detail["input"]), names)
        if set(names) == {"yes", "no"}:
            guess = YES_AND_NO.get(str(detail["input"]).casefold(), guess)
        return (
            found,
            f"one of {choices}" if len(names) > 1 else choices,
            f"`{guess}`" if guess else "",
        )
    if kind == "union_tag_invalid":
        tags = str(context["expected_tags"]).replace("'", "`")
        names = [part.strip("'` ") for part in tags.split(",")]
        guess = nearest(str(context["tag"]), names)
        return (
            f"the kind `{_short(str(context['tag']))}`",
            f"one of {tags}",
            f"`{guess}`" if guess else "",
        )
    if kind == "union_tag_not_found":
        return "no `kind`", "a `kind` that says what this is", ""
    expected = {
        "int_parsing": "a whole number",
        "int_type": "a whole number",
        "int_from_float": "a whole number",
        "list_type": "a list (lines that begin with `- `)",
        "dict_type": "a mapping (lines of `key: value`)",
        "model_type": "a mapping (lines of `key: value`)",
        "model_attributes_type": "a mapping (lines of `key: value`)",
        "string_type": "a text",
        "string_too_short": "a text; leave the key out where there is nothing to say",
        "string_too_long": f"at most {context.get('max_length')} characters",
        "too_short": f"at least {context.get('min_length')} entries",
        "too_long": f"at most {context.get('max_length')} entries",
        "greater_than_equal": f"{context.get('ge')} or more",
        "less_than_equal": f"{context.get('le')} or less",
    }.get(kind, detail["msg"])
    return found, expected, ""


def describe(value: Any) -> str:
    """What stands in the spec, in human words."""
    if isinstance(value, Mapping):
        return "a mapping"
    if isinstance(value, list | tuple):
        return "a list"
    text = str(value)
    return f"`{_short(text)}`" if text else "nothing"


def _short(text: str) -> str:
    text = " ".join(text.split())
    return text if len(text) <= 60 else text[:57] + "…"


def spec_path(loc: tuple[PathKey, ...], root: Node) -> list[PathKey]:
    """The path in the document; pydantic also names the kind of a device, which is no key."""
    path: list[PathKey] = []
    node: Node | None = root
    for depth, key in enumerate(loc):
        if isinstance(node, MappingNode) and isinstance(key, str):
            child = node.get(key)
            if child is None and depth < len(loc) - 1:
                continue
            node = child
        elif isinstance(node, SequenceNode) and isinstance(key, int):
            node = node.items[key]
        elif isinstance(node, ScalarNode) and depth < len(loc) - 1:
            continue
        path.append(key)
    return path


def _models(annotation: Any) -> Iterator[type[BaseModel]]:
    """Every model that an annotation can hold."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield annotation
        return
    for argument in typing.get_args(annotation):
        yield from _models(argument)


def _model_at(
    model: type[BaseModel], path: tuple[PathKey, ...], node: Node | None
) -> list[type[BaseModel]]:
    """The models that may stand at a path; a device's `kind` picks one of them."""
    candidates: list[type[BaseModel]] = [model]
    for key in path:
        node = _child(node, key)
        if isinstance(key, int):
            continue
        found: list[type[BaseModel]] = []
        for candidate in candidates:
            for name, info in candidate.model_fields.items():
                if (info.alias or name) == key:
                    found += _models(info.annotation)
        candidates = found or candidates
    if isinstance(node, MappingNode) and len(candidates) > 1:
        kind = node.get("kind")
        if isinstance(kind, ScalarNode):
            candidates = [c for c in candidates if kind.text in _kinds(c)] or candidates
    return candidates


def _child(node: Node | None, key: PathKey) -> Node | None:
    if isinstance(node, MappingNode) and isinstance(key, str):
        return node.get(key)
    if isinstance(node, SequenceNode) and isinstance(key, int):
        return node.items[key]
    return None


def _kinds(model: type[BaseModel]) -> tuple[str, ...]:
    info = model.model_fields.get("kind")
    return typing.get_args(info.annotation) if info is not None else ()


def _known_keys(model: type[BaseModel], path: tuple[PathKey, ...], root: Node) -> list[str]:
    keys: list[str] = []
    for candidate in _model_at(model, path, root):
        keys += _keys_of(candidate)
    return list(dict.fromkeys(keys))


def _field(model: type[BaseModel], path: tuple[PathKey, ...]) -> str:
    """The description of a field that is missing."""
    for candidate in _model_at(model, path[:-1], None):
        for name, info in candidate.model_fields.items():
            if (info.alias or name) == path[-1] and info.description:
                return info.description.rstrip(".").split(";")[0]
    return ""
