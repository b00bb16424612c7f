"""The house palette as custom properties of a style sheet, for light and for dark screens.

There is one source, `sim.show.figures.style`: the dark colours are the same hues made lighter until
they stand out from a dark ground. Contrast is that of WCAG 2.2 (W3C Recommendation, definitions
"contrast ratio" and "relative luminance"; from memory):

    L = 0.2126 R + 0.7152 G + 0.0722 B,  each channel c from sRGB: c / 12.92 below 0.04045,
        else ((c + 0.055) / 1.055)^2.4;  contrast = (L_light + 0.05) / (L_dark + 0.05)   [-]

White against black is 21; small text needs 4.5.
"""

from sim.show.figures.side_view import BODY_TINT, SURFACE_TINT
from sim.show.figures.style import FAINT, INK, LIMIT, LINES, PAPER, SOIL

READABLE = 4.6
"""Least contrast of anything drawn or written in a colour of its own [-]."""
STEPS = 50
NIGHT = 0.62
"""The dark ground is the ink's colour with this share of its light taken away."""

Channels = tuple[float, float, float]


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours "#rrggbb", 1 to 21."""
    high, low = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def palette_css() -> str:
    """Custom properties of both schemes; print is always light."""
    return (
        f":root {{ color-scheme: light dark; {_properties(light())} }}\n"
        f"@media screen and (prefers-color-scheme: dark) {{ :root {{ {_properties(dark())} }} }}\n"
    )


def light() -> dict[str, str]:
    """The house colours by what they are for."""
    return {
        "ink": INK,
        "faint": FAINT,
        "paper": PAPER,
        "limit": LIMIT,
        **LINES,
        "body": BODY_TINT,
        "surface": SURFACE_TINT,
        "rule": mixed(PAPER, FAINT, 0.35),
        "sky": PAPER,
        "soil": SOIL,
    }


def dark() -> dict[str, str]:
    """The same hues on a dark ground, each light enough to be read on it."""
    ground = mixed(INK, "#000000", NIGHT)
    tints = {
        "paper": ground,
        "sky": ground,
        "body": mixed(ground, FAINT, 0.3),
        "surface": mixed(ground, FAINT, 0.75),
        "rule": mixed(ground, FAINT, 0.6),
        "soil": mixed(ground, SOIL, 0.1),
    }
    lines = {name: readable(colour, tints["body"]) for name, colour in light().items()}
    return lines | {"ink": mixed(PAPER, FAINT, 0.1)} | tints


def readable(colour: str, ground: str) -> str:
    """The colour with as little white mixed in as makes it readable on a dark ground."""
    candidates = (mixed(colour, PAPER, step / STEPS) for step in range(STEPS + 1))
    return next((c for c in candidates if contrast(c, ground) >= READABLE), PAPER)


def mixed(one: str, other: str, share: float) -> str:
    """The colour `share` of the way from one to the other, "#rrggbb"."""
    pairs = zip(_channels(one), _channels(other), strict=True)
    return "#" + "".join(f"{round(255 * (a + share * (b - a))):02x}" for a, b in pairs)


def _properties(colours: dict[str, str]) -> str:
    return " ".join(f"--{name}: {colour};" for name, colour in colours.items())


def _channels(colour: str) -> Channels:
    red, green, blue = (int(colour[i : i + 2], 16) / 255.0 for i in (1, 3, 5))
    return red, green, blue


def _luminance(colour: str) -> float:
    linear = (c / 12.92 if c < 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in _channels(colour))
    return sum(w * c for w, c in zip((0.2126, 0.7152, 0.0722), linear, strict=True))
