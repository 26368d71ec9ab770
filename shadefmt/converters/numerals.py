"""Numbers as text: with the decimals that a block states, or as short as they can be."""

from collections.abc import Sequence
from decimal import Decimal


def number_texts(values: Sequence[float], decimals: int) -> list[str]:
    """Return numbers with so many decimals each, rounded where they have more."""
    if not values or min(values) <= 0:
        return [number_text(value, decimals) for value in values]
    form = f"%.{decimals}f"
    texts = [form % value for value in values]
    if list(map(float, texts)) != values:
        return [number_text(value, decimals) for value in values]
    return texts


def number_text(value: float, decimals: int) -> str:
    """Return a number with so many decimals."""
    text = f"{value:.{decimals}f}"
    if float(text) != value:
        text = f"{Decimal(repr(value)):.{decimals}f}"
    return text.lstrip("-") if text[0] == "-" and float(text) == 0 else text


def short(value: float) -> str:
    """Return the shortest text of a number that reads as that number."""
    return repr(int(value)) if float(value).is_integer() else repr(value)
