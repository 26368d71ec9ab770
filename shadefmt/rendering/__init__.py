"""Reports, rules and cases for people: text for the terminal, one HTML page. Loaded when they are first used."""

from importlib import import_module
from typing import TYPE_CHECKING, Any, Final

if TYPE_CHECKING:
    from shadefmt.rendering.case_lines import case_text
    from shadefmt.rendering.page import page_html
    from shadefmt.rendering.report_lines import report_text
    from shadefmt.rendering.rule_lines import explain_text

_HOMES: Final = {
    "case_text": "shadefmt.rendering.case_lines",
    "explain_text": "shadefmt.rendering.rule_lines",
    "page_html": "shadefmt.rendering.page",
    "report_text": "shadefmt.rendering.report_lines",
}

__all__ = ["case_text", "explain_text", "page_html", "report_text"]


def __getattr__(name: str) -> Any:
    """Load a public name (PEP 562)."""
    if name not in _HOMES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(_HOMES[name]), name)
