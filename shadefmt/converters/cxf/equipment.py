"""Instruments and sessions, from the conditions that specifications state."""

from collections.abc import Mapping
from typing import Any

from shadefmt.converters.base import numbered
from shadefmt.converters.cxf.conditions import kind_of
from shadefmt.converters.cxf.ledger import Ledger
from shadefmt.converters.cxf.options import Options
from shadefmt.converters.cxf.specifications import Specification

Conditions = frozenset[tuple[str, str]]


class Equipment:
    """Names instruments and sessions as readings ask for them.

    Equal conditions, serial number included, are one instrument; one instrument on one calendar day is one
    session. CxF3 knows neither, so both are accounted for as assumed.
    """

    def __init__(self, ledger: Ledger, options: Options, specifications: Mapping[str, Specification]) -> None:
        self._ledger = ledger
        self._options = options
        self._types: dict[Conditions, list[str]] = {}
        for each in specifications.values():
            self._types.setdefault(each.instrument, []).append(each.measurement_type)
        self._instrument_ids = numbered("instrument")
        self._session_ids = numbered("session")
        self._by_conditions: dict[Conditions, str] = {}
        self._by_day: dict[tuple[str, str], str] = {}
        self.instruments: list[dict[str, Any]] = []
        self.sessions: list[dict[str, Any]] = []

    def session_of(self, specification: Specification | None, at: str | None) -> str | None:
        """Return the session of a reading; None where nothing is known of the instrument."""
        if specification is None or not specification.instrument:
            return None
        instrument = self._by_conditions.get(specification.instrument) or self._instrument(specification)
        key = (instrument, at[:10] if at else "")
        session = self._by_day.get(key)
        if session is None:
            session = self._by_day[key] = next(self._session_ids)
            self.sessions.append({"id": session, "instrument_id": instrument})
            reason = "readings with one instrument on one day are taken as one sitting; CxF3 knows no sittings"
            self._ledger.lost("Object", "defaulted", "sitting-assumed", reason, where=specification.where, new=session)
        return session

    def _instrument(self, specification: Specification) -> str:
        made = next(self._instrument_ids)
        self._by_conditions[specification.instrument] = made
        kind = self._options.instrument_kind
        if kind is None:
            kind = kind_of(self._types[specification.instrument])
            self._assumed_kind(specification, kind)
        instrument: dict[str, Any] = {"id": made, "kind": kind}
        members = {
            "geometry": specification.geometry,
            "specular": specification.specular,
            "aperture_mm": specification.aperture_mm,
            "model": specification.model or None,
        }
        instrument |= {name: value for name, value in members.items() if value is not None}
        self.instruments.append(instrument)
        if specification.model:
            self._model(specification)
        return made

    def _assumed_kind(self, specification: Specification, kind: str) -> None:
        reason = "the kind of instrument follows from the type of measurement only"
        self._ledger.lost(
            "ColorSpecification",
            "defaulted",
            "instrument-kind-assumed",
            reason,
            where=specification.where,
            old=", ".join(self._types[specification.instrument]),
            new=kind,
        )

    def _model(self, specification: Specification) -> None:
        self._ledger.notice(
            "model-as-written",
            specification.where,
            "the model of an instrument is free text of the file and was carried over as it stands",
            "Look whether it names more than the instrument before the case is handed on",
        )
