"""Bad specs, one file each: what they say about themselves, and the folder they make."""

from __future__ import annotations

import shutil
from dataclasses import dataclass
from pathlib import Path

FOLDER = Path(__file__).parent.parent / "spec_errors"
DEFAULT_FILE = "vessels/tern.yaml"


@dataclass(frozen=True)
class SpecCase:
    """A bad spec.

    about: which mistake it holds
    expected: the whole of each message, in order; none where the spec is accepted
    files: text by path below the specs folder
    """

    name: str
    about: str
    expected: tuple[str, ...]
    files: dict[str, str]

    def write(self, folder: Path) -> Path:
        """The specs folder: the base, with this case's files in place of its own."""
        specs = folder / "specs"
        shutil.copytree(FOLDER / "base", specs)
        for path, text in self.files.items():
            (specs / path).write_text(text, encoding="utf-8")
        return specs


def read_case(path: Path) -> SpecCase:
    """A case from its file.

    `# about: …` and `# expect: …` lines stand on top. The rest replaces the vessel; where a line
    `# file: PATH` stands, what follows it replaces that file instead.
    """
    about, expected = "", []
    files: dict[str, list[str]] = {}
    current = DEFAULT_FILE
    for line in path.read_text(encoding="utf-8").splitlines():
        word, _, rest = line.removeprefix("# ").partition(": ")
        if line.startswith("# ") and word in ("about", "expect", "file"):
            if word == "about":
                about = rest
            elif word == "expect":
                expected.append(rest)
            else:
                current = rest
        else:
            files.setdefault(current, []).append(line)
    texts = {name: "\n".join(lines) + "\n" for name, lines in files.items()}
    return SpecCase(path.stem, about, tuple(expected), texts)


CASES = [read_case(path) for path in sorted(FOLDER.glob("*.yaml"))]
