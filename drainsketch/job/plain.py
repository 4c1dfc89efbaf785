"""User text made fit to show: no control characters, no half characters, bounded. The one place that does it."""

import unicodedata

LABEL_LENGTH = 48
LINE_LENGTH = 200

_DROPPED = ("Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp")


def plain(text: str, longest: int = LINE_LENGTH) -> str:
    """Return a text on one line, without control, format, private and half characters, cut at ``longest``.

    Parameters
    ----------
    text : anything a user or a file may hold, lone surrogates included
    longest : most characters kept; a cut text ends in an ellipsis

    Examples
    --------
    >>> plain("front\\x00 yard\\n  drain")
    'front yard drain'
    >>> plain("abcdef", 4)
    'abc…'
    """
    if not (text.isascii() and text.isprintable()):
        spaced = "".join(" " if c in "\t\n\r\v\f\u2028\u2029" else c for c in text)
        text = "".join(c for c in spaced if unicodedata.category(c) not in _DROPPED)
    text = " ".join(text.split())
    return text if len(text) <= longest else text[: longest - 1].rstrip() + "…"
