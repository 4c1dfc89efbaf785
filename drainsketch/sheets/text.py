"""User text as sheets show it: a line by ``job.plain``, and longer text as paragraphs."""

from drainsketch.job.plain import LABEL_LENGTH, LINE_LENGTH, plain

__all__ = ["LABEL_LENGTH", "LINE_LENGTH", "TEXT_LENGTH", "paragraphs", "plain"]

TEXT_LENGTH = 4_000


def paragraphs(text: str, longest: int = TEXT_LENGTH) -> tuple[str, ...]:
    """Return the lines of a longer text, each as by ``plain``, without empty ones, cut at ``longest`` in all."""
    lines = (plain(line, longest) for line in text[:longest].splitlines())
    return tuple(line for line in lines if line)
