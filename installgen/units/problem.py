"""What is wrong with a value that somebody wrote, without the place where it stands."""

from installgen.errors import InstallgenError


class UnitProblem(InstallgenError, ValueError):
    """A written value cannot be read.

    found: what was written, in human words
    expected: what may be written
    instead: what to write, when that is certain enough to suggest; else empty
    """

    def __init__(self, found: str, expected: str, instead: str = "") -> None:
        self.found, self.expected, self.instead = found, expected, instead
        super().__init__(found, expected, instead)

    def __str__(self) -> str:
        text = f"found {self.found}; expected {self.expected}"
        return f"{text}; write {self.instead}" if self.instead else text


def quoted(text: str, longest: int = 60) -> str:
    """The text between backticks for a message: one line, printable, shortened."""
    one_line = "".join(" " if sign.isspace() else sign for sign in text[: longest + 1])
    printable = "".join(sign if sign.isprintable() else "�" for sign in one_line)
    if len(printable) > longest:
        printable = printable[: longest - 1] + "…"
    inside = printable.replace("`", "'")
    return f"`{inside}`"


def either(*texts: str) -> str:
    """What to write instead: `5 gal US` or `5 gal imp`, each between backticks."""
    return " or ".join(quoted(text) for text in texts)
