"""Normal, chi-square, Student and Fisher distributions, with `math` only: no scipy at run time.

Incomplete gamma and beta functions by the power series and continued fractions of the NIST Digital Library
of Mathematical Functions (8.7.1, 8.9.2, 8.17.22); quantiles by false position (Illinois variant) on these.
Good to 1e-9, and to 1e-11 below 1000 degrees of freedom.
"""

from collections.abc import Callable
from math import erfc, exp, inf, isfinite, lgamma, log, sqrt
from typing import Final

from shadefmt.errors import WrongUse

SMALLEST: Final = 1e-300
CLOSE: Final = 1e-15
TERMS: Final = 10_000


def normal_cdf(x: float) -> float:
    """Probability that a standard normal variable is at most x."""
    return erfc(-x / sqrt(2)) / 2


def chi_square_cdf(x: float, degrees: float) -> float:
    """Probability that chi-square with `degrees` degrees of freedom (> 0, not only whole) is at most x."""
    _degrees(degrees)
    return _gamma(degrees / 2, x / 2) if x > 0 else 0.0


def chi_square_quantile(probability: float, degrees: float) -> float:
    """The value that chi-square with `degrees` degrees of freedom stays at or below with `probability`."""
    _degrees(degrees)
    return _quantile(lambda x: chi_square_cdf(x, degrees), probability)


def student_cdf(t: float, degrees: float) -> float:
    """Probability that Student's t with `degrees` degrees of freedom is at most t."""
    _degrees(degrees)
    square = t * t
    if not isfinite(square):
        return float(t > 0)
    tail = _beta(degrees / 2, 0.5, degrees / (degrees + square), square / (degrees + square)) / 2
    return 1 - tail if t > 0 else tail


def student_factor(probability: float, degrees: float) -> float:
    """Two-sided factor: |t| stays at or below it with `probability` (JCGM 100:2008, table G.2)."""
    _degrees(degrees)
    return _quantile(lambda t: 1 - 2 * student_cdf(-t, degrees), probability)


def fisher_cdf(x: float, above: float, below: float) -> float:
    """Probability that F with `above` and `below` degrees of freedom is at most x."""
    _degrees(above)
    _degrees(below)
    scaled = above * x
    if x <= 0 or not isfinite(scaled):
        return float(x > 0)
    return _beta(above / 2, below / 2, scaled / (scaled + below), below / (scaled + below))


def fisher_quantile(probability: float, above: float, below: float) -> float:
    """The value that F with `above` and `below` degrees of freedom stays at or below with `probability`."""
    return _quantile(lambda x: fisher_cdf(x, above, below), probability)


def _degrees(degrees: float) -> None:
    if not 0 < degrees < inf:
        raise WrongUse(f"degrees of freedom must be a positive number, not {degrees!r}")


def _quantile(cdf: Callable[[float], float], probability: float) -> float:
    if not 0 <= probability < 1:
        raise WrongUse(f"a probability from 0 to below 1 is meant, not {probability!r}")
    low, high = 0.0, 1.0
    below, above = -probability, cdf(1.0) - probability
    while above < 0:
        low, high, below = high, high * 2, above
        above = cdf(high) - probability
    last = 0
    while high - low > CLOSE * high + SMALLEST:
        middle = (low * above - high * below) / (above - below)
        if not low < middle < high:
            middle = (low + high) / 2
        value = cdf(middle) - probability
        if value < 0:
            low, below, above, last = middle, value, above / (2 if last < 0 else 1), -1
        else:
            high, above, below, last = middle, value, below / (2 if last > 0 else 1), 1
        if value == 0:
            break
    return high


def _gamma(a: float, x: float) -> float:
    """Lower incomplete gamma function, regularised, for x > 0."""
    if not isfinite(x):
        return 1.0
    scale = exp(a * log(x) - x - lgamma(a))
    if x < a + 1:
        term = total = 1 / a
        for n in range(1, TERMS):
            term *= x / (a + n)
            total += term
            if term < total * CLOSE:
                break
        return scale * total
    return 1 - scale / _fraction(lambda n: -n * (n - a), lambda n: x + 2 * n + 1 - a)


def _beta(a: float, b: float, x: float, rest: float) -> float:
    """Incomplete beta function, regularised; rest = 1 - x, given apart because it may be very small."""
    if x <= 0 or rest <= 0:
        return float(rest <= 0)
    if x > (a + 1) / (a + b + 2):
        return 1 - _beta(b, a, rest, x)
    scale = exp(lgamma(a + b) - lgamma(a) - lgamma(b) + a * log(x) + b * log(rest)) / a

    def numerator(n: int) -> float:
        m = n // 2
        if n % 2:
            return -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1))
        return m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m))

    return scale / _fraction(numerator, lambda n: 1.0)


def _fraction(numerator: Callable[[int], float], denominator: Callable[[int], float]) -> float:
    """b0 + a1 / (b1 + a2 / (b2 + ...)) by the modified method of Lentz (Thompson and Barnett 1986)."""
    value = ratio = denominator(0) or SMALLEST
    inverse = 0.0
    for n in range(1, TERMS):
        a, b = numerator(n), denominator(n)
        inverse = 1 / ((b + a * inverse) or SMALLEST)
        ratio = (b + a / ratio) or SMALLEST
        step = ratio * inverse
        value *= step
        if abs(step - 1) < CLOSE:
            break
    return value
