"""A folder's page of contents as HTML: plain, with nothing fetched from anywhere."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from html import escape, unescape
from re import findall
from urllib.parse import quote, unquote

from layout.export.svg import plain

_LINK = '<a class="file" href="{}">{}</a>'
_STYLE = (
    "body{font-family:sans-serif;max-width:50em;margin:2em auto;padding:0 1em;color:#000;background:#fff}"
    "td{padding:.2em 1em .2em 0;vertical-align:top}h1{font-size:1.5em}h2{font-size:1.1em;margin:1.5em 0 .3em}"
)


@dataclass(frozen=True, kw_only=True, slots=True)
class Listed:
    """Files under a heading: each with its name and a line on what it is for."""

    heading: str
    files: Sequence[tuple[str, str]]


def index_page(title: str, groups: Iterable[Listed], note: str = "") -> bytes:
    """Return the page: a title, a note, and a table of files for each group that has any; texts are escaped."""
    body = [f"<h1>{_text(title)}</h1>", *([f"<p>{_text(note)}</p>"] if note else [])]
    for group in groups:
        if group.files:
            rows = "\n".join(f"<tr><td>{_link(name)}</td><td>{_text(says)}</td></tr>" for name, says in group.files)
            body.append(f"<h2>{_text(group.heading)}</h2>\n<table>\n{rows}\n</table>")
    head = f'<meta charset="utf-8"><title>{_text(title)}</title><style>{_STYLE}</style>'
    return "\n".join(
        ["<!DOCTYPE html>", f'<html lang="en"><head>{head}</head><body>', *body, "</body></html>", ""]
    ).encode()


def files_of(page: bytes) -> tuple[str, ...]:
    """Return the names of the files that such a page lists, in its order."""
    return tuple(
        unquote(unescape(link)) for link in findall(r'<a class="file" href="([^"]*)"', page.decode("utf-8", "replace"))
    )


def _link(name: str) -> str:
    return _LINK.format(escape(quote(name)), _text(name))


def _text(text: str) -> str:
    return escape(plain(text))
