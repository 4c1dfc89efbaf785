"""The colors of buried services against the uniform color code.

Source: APWA Uniform Color Code (ANSI Z535 colors), as printed by one-call centers: red electric, yellow gas, orange
communication, blue potable water, purple reclaimed water and irrigation, green sewers and drain lines.
"""

from colorsys import rgb_to_hsv

import pytest

from drainsketch.look import SERVICE_COLORS, STYLES

HUES = {
    "red": (350, 10),
    "orange": (20, 40),
    "yellow": (45, 62),
    "green": (90, 160),
    "blue": (200, 235),
    "purple": (270, 310),
}
CODE = {
    "electric": "red",
    "gas": "yellow",
    "communication": "orange",
    "water": "blue",
    "irrigation": "purple",
    "sewer": "green",
    "drain line": "green",
}


def hue(color: str) -> tuple[float, float]:
    r, g, b = (int(color[i : i + 2], 16) / 255 for i in (1, 3, 5))
    h, s, _ = rgb_to_hsv(r, g, b)
    return h * 360, s


@pytest.mark.parametrize(("kind", "color"), CODE.items())
def test_each_service_has_the_color_of_the_code(kind: str, color: str) -> None:
    low, high = HUES[color]
    h, saturation = hue(SERVICE_COLORS[kind])
    assert (low <= h <= high) if low < high else (h >= low or h <= high)
    assert saturation > 0.6
    assert STYLES[f"service.{kind}"].stroke == SERVICE_COLORS[kind]


def test_what_nobody_has_identified_has_no_color_of_the_code() -> None:
    assert hue(SERVICE_COLORS["unidentified"])[1] < 0.1


def test_new_pipe_takes_no_color_of_the_code() -> None:
    for style in ("run.drain", "run.solid"):
        assert STYLES[style].stroke not in SERVICE_COLORS.values()
        assert hue(STYLES[style].stroke or "")[1] < 0.5
