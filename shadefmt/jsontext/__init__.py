"""JSON text: bytes to values and back.

Strict decoding with placed faults, positions of values, JSON Pointers, the file form, the canonical form and
its digest.
"""

from shadefmt.jsontext.canonicalising import canonical, digest
from shadefmt.jsontext.decoding import decode
from shadefmt.jsontext.faults import Decoded, Position, SyntaxFault
from shadefmt.jsontext.locating import locate
from shadefmt.jsontext.pointers import parts_of, pointer_of, resolve
from shadefmt.jsontext.writing import file_form, line_form

__all__ = [
    "Decoded",
    "Position",
    "SyntaxFault",
    "canonical",
    "decode",
    "digest",
    "file_form",
    "line_form",
    "locate",
    "parts_of",
    "pointer_of",
    "resolve",
]
