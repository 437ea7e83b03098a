"""The shell's style sheet and fonts: the tokens of the office, once more on the phone, never a second set."""

import re
from collections.abc import Mapping
from pathlib import Path

from service_worker.build.places import Places
from service_worker.build.written import write_whole

FONT_PACKAGE = Path("@fontsource") / "atkinson-hyperlegible-next"
FONT_NAMES = [f"atkinson-hyperlegible-next-latin-{weight}-normal.woff2" for weight in (400, 700)]
PAPER_FONT_NAMES = [
    f"atkinson-hyperlegible-next-{part}-{weight}-normal.woff"
    for part in ("latin", "latin-ext")
    for weight in (400, 700)
]
URL = re.compile(r"""url\(\s*["']?([^"')]+)["']?\s*\)""")


def font_files(places: Places) -> dict[str, bytes]:
    """Return the two weights that we ship."""
    folder = places.node_modules / FONT_PACKAGE / "files"
    return {name: (folder / name).read_bytes() for name in FONT_NAMES}


def write_office_fonts(places: Places) -> None:
    """Put the fonts, those of the job sheet's PDF too, with their licence, where the office serves them."""
    folder = places.node_modules / FONT_PACKAGE
    paper = {name: (folder / "files" / name).read_bytes() for name in PAPER_FONT_NAMES}
    for name, content in {**font_files(places), **paper, "LICENSE.txt": (folder / "LICENSE").read_bytes()}.items():
        write_whole(places.fonts / name, content)


def style_sheets(places: Places) -> list[Path]:
    """Return the sheets of the shell in the order of the cascade."""
    shared = places.webapp / "look" / "static"
    own = places.phone / "shell"
    phone = ("shell.css", "visit.css", "glossary.css")
    return [*(shared / name for name in ("fonts.css", "tokens.css", "base.css")), *(own / name for name in phone)]


def app_css(sheets: list[Path], asset_urls: Mapping[str, str]) -> bytes:
    """Return the sheets as one; each `url(…)` becomes the address of the asset of that file name."""

    def replaced(match: re.Match[str]) -> str:
        if match[1].startswith("data:"):
            return match[0]
        return f'url("{asset_urls[Path(match[1]).name]}")'

    return URL.sub(replaced, "\n".join(path.read_text("utf-8") for path in sheets)).encode("utf-8")
