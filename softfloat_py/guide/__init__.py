"""The reference, one page a topic in Markdown: shipped with the package, and run by the tests."""

from __future__ import annotations

from contextlib import suppress
from importlib.resources import files
from importlib.resources.abc import Traversable

from softfloat_py.errors import UnknownNameError
from softfloat_py.suggestions import nearest_names

_ENDING = ".md"


def topics() -> dict[str, str]:
    """What each page is about, in a line, by its topic."""
    return {topic: _text(page).partition("\n")[0].removeprefix("# ") for topic, page in _pages().items()}


def page(topic: str) -> str:
    """The text of a page; UnknownNameError where there is none of that topic."""
    pages = _pages()
    if topic not in pages:
        raise UnknownNameError("a topic", topic, list(pages), nearest_names(topic, pages))
    return _text(pages[topic])


def _pages() -> dict[str, Traversable]:
    """All pages, in the order of their topics; the one on cost tables lies beside these."""
    folder = files("softfloat_py.guide")
    pages = {
        each.name.removesuffix(_ENDING): each for each in folder.iterdir() if each.name.endswith(_ENDING)
    }
    with suppress(ModuleNotFoundError):  # not installed, only lying in its folder
        pages["cost-tables"] = files("softfloat_py.costmodels") / "README.md"
    return dict(sorted(pages.items()))


def _text(page: Traversable) -> str:
    return page.read_text(encoding="utf-8")
