"""CxF3 (ISO 17972-1) into one case and back: streamed, every element and attribute read or accounted for."""

from shadefmt.converters.cxf.ledger import Notice
from shadefmt.converters.cxf.reader import CxfResult, read_cxf
from shadefmt.converters.cxf.writer import CxfFile, CxfText, write_cxf

__all__ = ["CxfFile", "CxfResult", "CxfText", "Notice", "read_cxf", "write_cxf"]
