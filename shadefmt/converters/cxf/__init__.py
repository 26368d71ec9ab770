"""CxF3 (ISO 17972-1) into one case and back: streamed, every element and attribute read or accounted for."""

from shadefmt.converters.base import ForeignFile, Notice
from shadefmt.converters.cxf.reader import CxfResult, read_cxf
from shadefmt.converters.cxf.writer import CxfFile, write_cxf

__all__ = ["CxfFile", "CxfResult", "ForeignFile", "Notice", "read_cxf", "write_cxf"]
