"""Every ink on every ground that a rule of ours puts it on, by the WCAG 2.2 formula.

Body text 7:1, everything else 4.5:1, edges that mean something 3:1.

The formula: W3C, WCAG 2.2, "relative luminance" and "contrast ratio" (https://www.w3.org/TR/WCAG22/#dfn-contrast-ratio),
with the threshold 0.04045 of the current text.
"""

import re
from itertools import product

import pytest

from service_worker.build.places import HERE

STATIC = HERE.webapp / "look" / "static"
TOKENS = (STATIC / "tokens.css").read_text("utf-8")
ALL_SHEETS = [*sorted(STATIC.glob("*.css")), HERE.phone / "shell" / "shell.css"]
SHEETS = [path for path in ALL_SHEETS if path.name not in {"tokens.css", "fonts.css"}]

RULE = re.compile(r"([^{}]+)\{([^{}]*)\}")
INK = re.compile(r"(?<![-\w])color:\s*var\(--([\w-]+)\)")
GROUND = re.compile(r"background(?:-color)?:\s*var\(--([\w-]+)\)")
MARK = re.compile(r"background:\s*var\(--(?:good|bad|lamp|edge|ink-soft|doubtful|unsure)\)")
EDGE = re.compile(r"border(?:-color|-top|-right|-bottom|-left)*:\s*[^;]*var\(--(?!radius|stroke|space)([\w-]+)\)")

PAGE_GROUNDS = ["ground", "raised", "sunken"]  # what a rule without a ground of its own may come to lie on
TINTED = ["good-ground", "doubtful-ground", "bad-ground", "unsure-ground", "caution-ground", "stop-ground"]
ORNAMENT = {"line"}  # hairlines that carry no meaning


def luminance(colour: str) -> float:
    """Relative luminance of an sRGB colour."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio, 1 to 21."""
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


PRINT = re.compile(r"@media print\s*\{(?:[^{}]*\{[^{}]*\})*[^{}]*\}")


def on_screen(sheet: str) -> str:
    """The sheet without its comments and without what is for paper alone."""
    return PRINT.sub("", re.sub(r"/\*.*?\*/", "", sheet, flags=re.DOTALL))


def colours_of(block: str) -> dict[str, str]:
    return dict(re.findall(r"--([\w-]+):\s*(#[0-9a-f]{6})", block))


def theme_blocks() -> dict[str, dict[str, str]]:
    """The colours of both themes, and of daylight as the device asks for it."""
    blocks: dict[str, dict[str, str]] = {}
    for selector, body in RULE.findall(on_screen(TOKENS)):
        blocks.setdefault(selector.strip(), colours_of(body))
    names = {"dark": ":root", "light": '[data-theme="light"]', "device": ":root:not([data-theme])"}
    return {name: blocks[selector] for name, selector in names.items()}


THEMES = theme_blocks()


def rules() -> list[tuple[str, str, str]]:
    return [
        (path.name, selector.strip(), body)
        for path in SHEETS
        for selector, body in RULE.findall(on_screen(path.read_text("utf-8")))
    ]


def pairs_of(body: str) -> list[tuple[str, str]]:
    """Ink and ground of a rule. Without a ground: every ground of a page. A ground without an ink: the body's ink."""
    inks, grounds = INK.findall(body), GROUND.findall(body)
    if grounds and not inks and not is_shape(body):
        inks = ["ink"]
    return list(product(inks, grounds or PAGE_GROUNDS))


def is_shape(body: str) -> bool:
    """A mark drawn by its ground, without text on it."""
    sized = "width:" in body and "height:" in body
    return sized or "clip-path" in body or "content:" in body or MARK.search(body) is not None


def test_the_formula_gives_the_ratios_that_the_standard_states() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)
    assert contrast("#ffffff", "#ffffff") == 1.0
    assert contrast("#767676", "#ffffff") >= 4.5 > contrast("#777777", "#ffffff")  # the two greys beside the limit


def test_there_are_sheets_and_pairs_to_look_at() -> None:
    assert {path.name for path in SHEETS} >= {"base.css", "shell.css"}
    assert len([pair for _, _, body in rules() for pair in pairs_of(body)]) > 100


@pytest.mark.parametrize("theme", ["dark", "light"])
def test_every_ink_is_readable_on_every_ground_that_a_rule_puts_it_on(theme: str) -> None:
    colours = THEMES[theme]
    faint = [
        f"{name} {selector.splitlines()[-1]}: {ink} on {ground} {contrast(colours[ink], colours[ground]):.2f}"
        for name, selector, body in rules()
        for ink, ground in pairs_of(body)
        if contrast(colours[ink], colours[ground]) < (7 if ink == "ink" else 4.5)
    ]
    assert faint == []


@pytest.mark.parametrize("theme", ["dark", "light"])
def test_body_text_has_seven_to_one_on_every_ground_of_a_page_and_on_the_tints(theme: str) -> None:
    colours = THEMES[theme]
    assert [ground for ground in [*PAGE_GROUNDS, *TINTED[:4]] if contrast(colours["ink"], colours[ground]) < 7] == []
    assert [ground for ground in PAGE_GROUNDS if contrast(colours["ink-soft"], colours[ground]) < 7] == []


@pytest.mark.parametrize("theme", ["dark", "light"])
def test_verdicts_are_readable_on_every_ground_of_a_page_and_on_their_own_tint(theme: str) -> None:
    colours = THEMES[theme]
    for verdict in ("good", "doubtful", "bad", "unsure"):
        for ground in [*PAGE_GROUNDS, f"{verdict}-ground"]:
            assert contrast(colours[verdict], colours[ground]) >= 4.5, (verdict, ground)


@pytest.mark.parametrize("theme", ["dark", "light"])
def test_edges_that_mean_something_and_the_focus_ring_have_three_to_one(theme: str) -> None:
    colours = THEMES[theme]
    edges = {edge for _, _, body in rules() for edge in EDGE.findall(body)} - ORNAMENT
    # The lamp as an edge always has the same lamp as its ground, or marks what a word beside it says too.
    faint = [
        (edge, ground)
        for edge in sorted((edges | {"focus"}) - {"lamp"})
        for ground in PAGE_GROUNDS
        if contrast(colours[edge], colours[ground]) < 3
    ]
    assert faint == []


def test_daylight_asked_for_by_the_device_is_the_daylight_asked_for_by_name() -> None:
    assert THEMES["device"] == THEMES["light"]


def test_both_themes_name_the_same_colours() -> None:
    assert set(THEMES["dark"]) == set(THEMES["light"])


def test_daylight_changes_colours_and_nothing_else() -> None:
    """What was measured of a page's shapes in one theme holds in the other: e2e looks at the colours alone there."""
    changes = [
        line.strip()
        for selector, body in RULE.findall(on_screen(TOKENS))
        if selector.strip() in {'[data-theme="light"]', ":root:not([data-theme])"}
        for line in body.split(";")
    ]
    assert len(changes) >= 2 * len(THEMES["light"])
    colour = re.compile(r"--[\w-]+: #[0-9a-f]{6}|color-scheme: light|")
    assert [line for line in changes if not colour.fullmatch(line)] == []
    asking = re.compile(r"data-theme|prefers-color-scheme")
    assert [path.name for path in SHEETS if asking.search(on_screen(path.read_text("utf-8")))] == []


def test_no_sheet_brings_a_colour_of_its_own() -> None:
    strays = [
        f"{path.name}: {found}"
        for path in SHEETS
        for found in re.findall(r":[^;{}]*#[0-9a-fA-F]{3,8}\b", on_screen(path.read_text("utf-8")))
    ]
    assert strays == []


def test_every_colour_that_a_sheet_uses_is_a_token() -> None:
    known = set(re.findall(r"--([\w-]+):", TOKENS))
    used = {(path.name, name) for path in SHEETS for name in re.findall(r"var\(--([\w-]+)\)", path.read_text("utf-8"))}
    own = {(path.name, name) for path in SHEETS for name in re.findall(r"--([\w-]+):", path.read_text("utf-8"))}
    assert sorted(one for one in used - own if one[1] not in known) == []
