"""Strict decoding of one JSON text (RFC 8259): a fast path for what is plainly sound and an exact one."""

from shadefmt.jsontext import faults
from shadefmt.jsontext.encoding import Text, text_of
from shadefmt.jsontext.faults import Decoded, Position, SyntaxFault
from shadefmt.jsontext.places import positions
from shadefmt.jsontext.quick import NOT_SURE, quick_value
from shadefmt.jsontext.reader import Reader
from shadefmt.jsontext.trail import Noted
from shadefmt.limits import MAX_DOCUMENT_BYTES


def decode(data: bytes) -> Decoded:
    """Read one JSON text, or say what is wrong with it and where. Raises nothing; time is linear in the size.

    Beyond the grammar of RFC 8259 these are faults: a byte order mark, duplicate members, numbers beyond the
    doubles or integers beyond 2^53-1, lone surrogates, nesting and size beyond shadefmt.limits. With no other
    fault than a byte order mark there is a value. A number whose value is integral is an int (see
    shadefmt.jsontext.numbers).
    """
    if len(data) > MAX_DOCUMENT_BYTES:
        params: dict[str, faults.Param] = {"size_bytes": len(data), "limit_bytes": MAX_DOCUMENT_BYTES}
        return Decoded(None, (SyntaxFault(faults.TOO_LARGE, params, 1, 1, 0),))
    value = quick_value(data)
    if value is not NOT_SURE:
        return Decoded(value)
    return decode_exactly(data)


def decode_exactly(data: bytes) -> Decoded:
    """What `decode` gives for data within the size limit, by the exact reader alone."""
    text = text_of(data)
    if text.fault is not None:
        return Decoded(None, _placed(text, _encoding_faults(text)))
    reader = Reader(text.characters)
    reader.read()
    noted = sorted(reader.trail.noted, key=lambda fault: fault.at)
    value = None if noted else reader.value
    return Decoded(value, _placed(text, [*_mark_faults(text), *noted]), reader.trail.omitted)


def _mark_faults(text: Text) -> list[Noted]:
    return [Noted(faults.BYTE_ORDER_MARK, 0, {}, None, None)] if text.skipped else []


def _encoding_faults(text: Text) -> list[Noted]:
    end = len(text.characters)
    earlier = ("begun", end) if text.fault == faults.TEXT_UNFINISHED else None
    return [*_mark_faults(text), Noted(text.fault or "", end, dict(text.params or {}), None, earlier)]


def _placed(text: Text, noted: list[Noted]) -> tuple[SyntaxFault, ...]:
    indices = [fault.at for fault in noted] + [fault.earlier[1] for fault in noted if fault.earlier]
    places = positions(text.characters, indices, text.skipped)
    return tuple(_fault(fault, places) for fault in noted)


def _fault(fault: Noted, places: dict[int, Position]) -> SyntaxFault:
    place = Position(1, 1, 0) if fault.code == faults.BYTE_ORDER_MARK else places[fault.at]
    related = places[fault.earlier[1]] if fault.earlier else None
    params = dict(fault.params)
    if fault.earlier and related:
        params[f"{fault.earlier[0]}_line"] = related.line
        params[f"{fault.earlier[0]}_column"] = related.column
    return SyntaxFault(fault.code, params, place.line, place.column, place.offset, fault.pointer, related)
