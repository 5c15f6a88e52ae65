"""Sheet: a plan becomes one HTML file that can be read, printed and pinned up.

In: a `JobPlan`. Out: the text of a page that needs nothing but itself: style and pictures are
inside, there is no script and no network. The room only formats, draws and rounds; every number
is taken from the plan, at most summed over its parts. May import `planning` and everything below.
"""

from __future__ import annotations

from printplan.sheet.page import sheet_html

__all__ = ["sheet_html"]
