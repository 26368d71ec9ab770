"""A case as one self-contained page: a letter with the receiver's questions in the margin."""

from shadefmt.rendering.page.letter import page_html

__all__ = ["page_html"]
