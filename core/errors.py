"""What a caller or a file can get wrong, with what is needed to say so in one line."""

from __future__ import annotations

from pathlib import Path


def one_line(text: str) -> str:
    """The text without line breaks and without letters that would move a terminal's cursor."""
    words = " ".join(text.split())
    return "".join(letter if letter.isprintable() else "\N{REPLACEMENT CHARACTER}" for letter in words)


class BayfoldError(Exception):
    """An error that a user is told of in one clear line."""


class UnreadableProject(BayfoldError):
    """A project that could not be read: which file, where in it, what is wrong, what would be right."""

    def __init__(self, file: Path, wrong: str, *, place: str = "", right: str = "") -> None:
        self.file, self.place, self.wrong, self.right = Path(file), place, wrong, right
        super().__init__(str(self))

    def __str__(self) -> str:
        where = f", at {self.place}" if self.place else ""
        mend = f"; {self.right}" if self.right else ""
        return one_line(f"{self.file}{where}: {self.wrong}{mend}")


class SenselessRequest(BayfoldError):
    """A request that cannot be met as it stands, such as a sequence the project does not have."""


class UnwritableProject(BayfoldError):
    """A project that could not be written; what stood there before still does."""


class CheckCancelled(Exception):
    """A check was asked to stop; nothing of it is kept."""


class UnreadableQuantity(BayfoldError):
    """A length or an angle that is not understood: its text, which letters, what is wrong, what would be right."""

    def __init__(self, text: str, start: int, end: int, wrong: str, right: str) -> None:
        self.text, self.start, self.end, self.wrong, self.right = text, start, end, wrong, right
        super().__init__(str(self))

    def __str__(self) -> str:
        return one_line(f'"{self.marked}": {self.wrong}; {self.right}')

    @property
    def marked(self) -> str:
        """The text with what is not understood between arrows, for where nothing can be underlined."""
        before, these, after = self.text[: self.start], self.text[self.start : self.end], self.text[self.end :]
        return f"{before}\N{RIGHTWARDS ARROW}{these}\N{LEFTWARDS ARROW}{after}"
