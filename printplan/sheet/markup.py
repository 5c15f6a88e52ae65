"""Pieces of HTML that every section uses."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from printplan.sheet.wording import said

__all__ = ["bullets", "scrolling", "table"]


def bullets(texts: Iterable[str], kind: str = "") -> str:
    """List of the plan's sentences; nothing where there is none."""
    items = "".join(f"<li>{said(text)}</li>" for text in texts)
    return f'<ul class="{kind}">{items}</ul>' if items else ""


def scrolling(content: str, label: str) -> str:
    """Let a wide table scroll by itself on a narrow screen, with the keyboard too."""
    return f'<div class="scroll" role="region" tabindex="0" aria-label="{label}">{content}</div>'


def table(caption: str, heads: Sequence[str] | str, rows: Iterable[str], kind: str = "") -> str:
    """Put a table together.

    Parameters
    ----------
    caption : str
        What it shows, as HTML.
    heads : sequence of str, or str
        Column heads, as HTML, one that begins with "#" over numbers; or the head rows.
    rows : iterable of str
        The body's rows.
    kind : str
        Class, for the style.

    Returns
    -------
    str
        HTML.
    """
    if not isinstance(heads, str):
        heads = f"<tr>{''.join(_head(text) for text in heads)}</tr>"
    return (
        f'<table class="{kind}"><caption><span>{caption}</span></caption>'
        f"<thead>{heads}</thead><tbody>{''.join(rows)}</tbody></table>"
    )


def _head(text: str) -> str:
    if text.startswith("#"):
        return f'<th scope="col" class="num">{text[1:]}</th>'
    return f'<th scope="col">{text}</th>' if text else '<td aria-hidden="true"></td>'
