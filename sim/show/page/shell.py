"""A page that needs nothing else and runs nothing: one file with its style and pictures inside.

What goes into a page as text goes through `text` or `tag`; the policy in its head lets nothing be
loaded or run even if something slipped through.
"""

from base64 import b64encode
from collections.abc import Iterable
from html import escape

from sim.show.page.palette import palette_css
from sim.show.page.policy import source_hash

STYLE = """
* { box-sizing: border-box; }
body { margin: 0 auto; max-width: 62rem; padding: .8rem; color: var(--ink);
  background: var(--paper); font: 1rem/1.45 system-ui, sans-serif; overflow-wrap: anywhere; }
h1 { font-size: 1.4rem; line-height: 1.25; margin: 0 0 .6rem; }
h2 { font-size: 1.15rem; margin: 1.6rem 0 .5rem; }
h3 { font-size: 1rem; margin: 0 0 .2rem; }
p { margin: 0 0 .5rem; }
ul { margin: 0 0 .5rem; padding-left: 1.2rem; }
footer, figcaption, .small { color: var(--faint); font-size: .9rem; }
footer { margin-top: 1.6rem; }
figure { margin: 0 0 1rem; }
figcaption { margin-top: .3rem; }
img { display: block; width: 100%; max-width: 42rem; height: auto; background: #fff;
  border: 1px solid var(--rule); border-radius: 4px; }
table { border-collapse: collapse; width: 100%; font-variant-numeric: tabular-nums; }
caption { text-align: left; color: var(--faint); font-size: .9rem; padding-bottom: .3rem; }
th, td { padding: .25rem .35rem; border-bottom: 1px solid var(--rule); text-align: left;
  vertical-align: top; font-weight: normal; }
thead th { font-weight: 600; }
@media (max-width: 30rem) { table { font-size: .85rem; } th, td { padding: .2rem; } }
@media print { body { max-width: none; padding: 0; font-size: 9.5pt; }
  h2, h3 { break-after: avoid; } figure, tr, section.whole { break-inside: avoid; }
  img { max-width: 13cm; } }
"""


def shell(title: str, body: str, style: str = "") -> bytes:
    """The whole page in UTF-8.

    Parameters
    ----------
    title
        plain text, of the window.
    body
        markup, all text in it escaped.
    style
        rules of the page's own, after those of the house.

    """
    rules = palette_css() + STYLE + style
    policy = (
        f"default-src 'none'; style-src '{source_hash(rules)}'; img-src data:; "
        "base-uri 'none'; form-action 'none'"
    )
    page = (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{policy}">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        '<meta name="color-scheme" content="light dark">\n'
        f"<title>{text(title)}</title>\n<style>{rules}</style>\n</head>\n<body>\n"
        f"<main>\n{body}</main>\n"
        "<footer>Made by wheelsoff. Nothing is loaded from anywhere.</footer>\n"
        "</body>\n</html>\n"
    )
    return page.encode("utf-8", "replace")  # a file's name may hold bytes that are no letters


def text(words: str) -> str:
    """Words as words, whatever is in them."""
    return escape(words, quote=True)


def tag(name: str, words: str, kind: str = "") -> str:
    """One element with nothing but words in it."""
    mark = f' class="{text(kind)}"' if kind else ""
    return f"<{name}{mark}>{text(words)}</{name}>\n"


def bullets(lines: Iterable[str]) -> str:
    """Lines as a list."""
    return f"<ul>\n{''.join(tag('li', line) for line in lines)}</ul>\n"


def picture(png: bytes, instead: str, caption: str) -> str:
    """A picture inside the page, with words for who cannot see it and a caption for who can."""
    data = b64encode(png).decode("ascii")
    return (
        f'<figure>\n<img alt="{text(instead)}" src="data:image/png;base64,{data}">\n'
        f"{tag('figcaption', caption)}</figure>\n"
    )
