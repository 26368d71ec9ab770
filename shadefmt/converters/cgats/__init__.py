"""CGATS text (ISO 28178) into one case and back: every keyword, field and comment read or accounted for."""

from shadefmt.converters.base import ForeignFile, Notice
from shadefmt.converters.cgats.options import OWN_FIELDS
from shadefmt.converters.cgats.reader import CgatsResult, read_cgats
from shadefmt.converters.cgats.seeming import seems_cgats
from shadefmt.converters.cgats.writer import write_cgats

__all__ = ["OWN_FIELDS", "CgatsResult", "ForeignFile", "Notice", "read_cgats", "seems_cgats", "write_cgats"]
