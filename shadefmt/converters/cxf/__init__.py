"""CxF3 (ISO 17972-1) into one case: streamed, every element and attribute read or accounted for."""

from shadefmt.converters.cxf.ledger import Notice
from shadefmt.converters.cxf.reader import CxfResult, read_cxf

__all__ = ["CxfResult", "Notice", "read_cxf"]
