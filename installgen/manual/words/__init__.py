"""The fixed sentences of the manual, one catalogue per language; English ships.

A catalogue is a TOML file beside this module and a folder of the same name with more of them: a
table for each page, a key for each sentence. `{name}` in a sentence is filled in by the page. To
translate, copy `en.toml` and `en/`, keep the keys and the names in braces, and change the
sentences.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from string import Formatter

from installgen.errors import InstallgenError
from installgen.manual.blocks import Line


class BadCatalogue(InstallgenError):
    """A catalogue lacks a sentence, or a sentence has other gaps than its page fills."""

    def __init__(self, language: str, key: str, what: str) -> None:
        self.language, self.key, self.what = language, key, what
        super().__init__(language, key, what)

    def __str__(self) -> str:
        return f"words/{self.language}.toml: {self.key} {self.what}"


@dataclass(frozen=True)
class Words:
    """One language's sentences by `page.key`."""

    language: str
    sentences: Mapping[str, str]

    def say(self, key: str, **parts: Line) -> Line:
        """A sentence, its gaps filled with text, quantities, results or links."""
        return tuple(
            piece
            for text, name in gaps(self._sentence(key, parts.keys()))
            for piece in ((text, parts[name]) if name else (text,))
        )

    def text(self, key: str, **parts: str) -> str:
        """A sentence that is text alone, such as a heading."""
        return "".join(
            text + (parts[name] if name else "")
            for text, name in gaps(self._sentence(key, parts.keys()))
        )

    def knows(self, key: str) -> bool:
        """Whether there is such a sentence."""
        return key in self.sentences

    def _sentence(self, key: str, given: object) -> str:
        sentence = self.sentences.get(key)
        if sentence is None:
            raise BadCatalogue(self.language, key, "is missing")
        wanted = {name for _, name in gaps(sentence) if name}
        if wanted != set(given):  # type: ignore[call-overload]
            raise BadCatalogue(self.language, key, f"has the gaps {sorted(wanted)}")
        return sentence


def gaps(sentence: str) -> list[tuple[str, str]]:
    """A sentence in pieces: plain text, and the name of the gap that follows it, if one does."""
    return [(text, name or "") for text, name, _, _ in Formatter().parse(sentence)]


@cache
def words(language: str = "en") -> Words:
    """The catalogue of a language."""
    folder = files("installgen.manual.words")
    parts = folder / language
    more = sorted((part.name, part) for part in parts.iterdir()) if parts.is_dir() else []
    sentences: dict[str, str] = {}
    for name, part in [(f"{language}.toml", folder / f"{language}.toml"), *more]:
        if not name.endswith(".toml"):
            continue
        for page, table in tomllib.loads(part.read_text("utf-8")).items():
            for key, sentence in table.items():
                if f"{page}.{key}" in sentences:
                    raise BadCatalogue(language, f"{page}.{key}", f"stands again in {name}")
                sentences[f"{page}.{key}"] = sentence
    return Words(language, sentences)
