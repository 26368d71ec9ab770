"""The text of an element that should hold text only."""

from lxml import etree

from shadefmt.converters.cxf.ledger import Ledger


def own_text(element: etree._Element) -> str:
    """Return the text of an element without what elements inside it hold."""
    text = element.text or ""
    return text + "".join([child.tail or "" for child in element]) if len(element) else text


def leaf_text(element: etree._Element, path: str, ledger: Ledger, where: str) -> str:
    """Return the text of an element, and account for elements inside it, which CxF3 does not have there."""
    for child in element if len(element) else ():
        ledger.drop_unknown(child, path, where)
    return own_text(element)


def plain_texts(elements: list[etree._Element]) -> list[str] | None:
    """Return the texts of elements that hold text and nothing else, with nothing between; else None."""
    texts = []
    for element in elements:
        text, tail = element.text, element.tail
        if not text or text.isspace() or len(element) or element.keys() or (tail and not tail.isspace()):
            return None
        texts.append(text)
    return texts
