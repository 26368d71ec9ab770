"""Complete a case: write what the chain says, in the revision that is being written, and say what was left."""

from shadefmt.deriving.request import Derived, Request
from shadefmt.deriving.run import derive

__all__ = ["Derived", "Request", "derive"]
