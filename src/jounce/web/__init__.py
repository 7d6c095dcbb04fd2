"""The workbench in the browser: pages on the shop book, the moving picture, and what guards them.

`site` puts the pages together, `guard` stands before every request, `pages` has one file per page. Every page is written
whole by the server from the book and its own address: nothing is lost by a reload, a restart or a second browser.
"""

from jounce.web.serving import serve

__all__ = ["serve"]
