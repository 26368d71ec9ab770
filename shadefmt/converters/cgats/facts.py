"""What the header of a table states that a case has members for: basis of the colours, conditions, scale, quantity.

A statement counts where it is plain; two that differ make the value unknown. Nothing is carried over from the
header of another table. The light that a measurement was made with (MEASUREMENT_SOURCE) is no statement of the
illuminant that colours were computed for, unless an observer stands beside it.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import Any, Final, TypeVar

from shadefmt.converters.cgats import conditions
from shadefmt.converters.cgats.header import Entry, Header, Setting, name_of, named, withheld
from shadefmt.converters.cgats.ledger import Ledger
from shadefmt.vocabulary import Backing, Geometry, Illuminant, Observer, Origin, SpecularMode

Word = TypeVar("Word")

_OBSERVERS: Final = ("OBSERVER", "OBSERVERANGLE", "STANDARDOBSERVER")
_ILLUMINANTS: Final = ("ILLUMINANT", "ILLUMINATIONNAME")
_UNKNOWN: Final = frozenset({"unknown", "none", "n.a.", "na", "n/a", "not applicable", "n.a. degree", "undefined"})
_MAX_MODEL: Final = 200
_COLOURS: Final = "/readings/*/colours/*"


@dataclass
class Facts:
    """What one header states. `targets` are the entries that became members, with where they went."""

    illuminant: Illuminant = "unknown"
    observer: Observer = "unknown"
    origin: Origin | None = None
    backing: Backing | None = None
    geometry: Geometry | None = None
    specular: SpecularMode | None = None
    aperture_mm: float | None = None
    model: str = ""
    xyz_normalised: bool = True
    targets: dict[Entry, str] = field(default_factory=dict)


def facts_of(header: Header, ledger: Ledger) -> Facts:
    """Return what a header states."""
    settings = header.settings()
    facts = Facts()
    _basis(facts, settings, ledger)
    taken = _Taken(facts, settings, ledger)
    facts.origin = taken.one(("COLOURORIGIN",), conditions.origin_of, f"{_COLOURS}/origin")
    facts.backing = taken.one(("SAMPLEBACKING", "BACKING"), conditions.backing_of, "/readings/*/backing")
    facts.geometry, facts.specular = _geometry(taken)
    facts.aperture_mm = taken.one(
        ("APERTURE", "APERTURESIZE", "MEASUREMENTAPERTURE"), conditions.aperture_of, "/instruments/*/aperture_mm"
    ) or taken.one(("APERTUREMM",), _millimetres, "/instruments/*/aperture_mm")
    facts.model = _model(header, facts)
    facts.xyz_normalised = not any(
        setting.text.strip('" ').upper() == "NO" for setting in named(settings, "NORMALIZEDTOY100")
    )
    return facts


class _Taken:
    """Takes settings of one meaning, in whichever keyword they stand."""

    def __init__(self, facts: Facts, settings: Iterable[Setting], ledger: Ledger) -> None:
        self._facts = facts
        self._settings = list(settings)
        self._ledger = ledger

    def one(self, names: tuple[str, ...], read: Callable[[str], Word | None], target: str) -> Word | None:
        """Return the value that settings of these names state, None where none or several do."""
        found = named(self._settings, *names)
        readable = [(setting, word) for setting in found if (word := read(_bare(setting.text))) is not None]
        if not readable:
            return None
        first, word = readable[0]
        if any(other != word for _, other in readable):
            message = f"the header states {first.entry.keyword} twice, differently; neither was used"
            self._ledger.notice("contradictory-header", f"line {first.entry.line}", message, "Ask which one holds")
            return None
        for setting, _ in readable:
            self._facts.targets.setdefault(setting.entry, target)
        return word


def _geometry(taken: _Taken) -> tuple[Geometry | None, SpecularMode | None]:
    stated = taken.one(("MEASUREMENTGEOMETRY", "GEOMETRY"), _whole_geometry, "/instruments/*/geometry")
    specular: SpecularMode | None = taken.one(
        ("SPECULARCOMPONENT", "SPECULAR"), conditions.specular_of, "/instruments/*/specular"
    )
    if stated is None:
        return None, specular
    geometry, by_name = stated
    if by_name is None or specular is None:
        return geometry, by_name or specular
    return geometry, by_name if by_name == specular else "unknown"


def _whole_geometry(text: str) -> tuple[Geometry, SpecularMode | None] | None:
    geometry, specular = conditions.geometry_of(text)
    return (geometry, specular) if geometry is not None else None


def _millimetres(text: str) -> float | None:
    return conditions.aperture_of(text, in_mm=True)


def _model(header: Header, facts: Facts) -> str:
    """The name of the instrument as written, where one is stated and may be carried."""
    found = [entry for entry in header.entries if name_of(entry.keyword) in ("INSTRUMENTATION", "TARGETINSTRUMENT")]
    if len(found) != 1 or len(found[0].value) > _MAX_MODEL or withheld(found[0].keyword, found[0].value):
        return ""
    facts.targets.setdefault(found[0], "/instruments/*/model")
    return found[0].value


def _basis(facts: Facts, settings: list[Setting], ledger: Ledger) -> None:
    observers = named(settings, *_OBSERVERS)
    illuminants = [
        setting
        for setting in settings
        if (setting.name in _ILLUMINANTS and (not setting.group or _computed_for(setting)))
        or (setting.name == "ILLUMINATION" and setting.group & set(_OBSERVERS))
    ]
    seen: list[tuple[Setting, Any]] = []
    angles: list[tuple[Setting, Any]] = [(each, conditions.observer_of(_bare(each.text))) for each in observers]
    for each in illuminants:
        illuminant, observer = conditions.illuminant_of(_bare(each.text))
        seen.append((each, illuminant))
        angles += [(each, observer)] if observer is not None else []
    facts.illuminant = _agreed(seen, "illuminant", facts, ledger) or "unknown"
    facts.observer = _agreed(angles, "observer", facts, ledger) or "unknown"


def _computed_for(setting: Setting) -> bool:
    """Whether a setting inside a value is one of a computation and not of the light of a measurement."""
    return name_of(setting.entry.keyword) == "WEIGHTINGFUNCTION" or bool(setting.group & set(_OBSERVERS))


def _agreed(statements: list[tuple[Setting, Any]], what: str, facts: Facts, ledger: Ledger) -> Any:
    """The one word that all statements say; unknown and on record where they do not."""
    stated = [(setting, word) for setting, word in statements if _bare(setting.text).casefold() not in _UNKNOWN]
    words = {word for _, word in stated}
    if not stated:
        return None
    if len(words) == 1 and None not in words:
        for setting, _ in stated:
            facts.targets.setdefault(setting.entry, f"{_COLOURS}/illuminant, {_COLOURS}/observer")
        return words.pop()
    first = stated[0][0]
    several = len(words) > 1
    code = f"{what}-contradictory" if several else f"{what}-outside-vocabulary"
    reason = f"the header states more than one {what}" if several else f"the format has no word for this {what}"
    ledger.lost(
        first.entry.path,
        "defaulted",
        code,
        f"{reason}; as written in the extension",
        where=f"line {first.entry.line}",
        old="; ".join(dict.fromkeys(setting.text for setting, _ in stated)),
        new="unknown",
    )
    return None


def _bare(text: str) -> str:
    return text.strip().strip('"').strip()
