"""The mapping document of a table, read strictly."""

from typing import Any, Final

from pydantic import ValidationError

from shadefmt.errors import WrongUse
from shadefmt.jsontext import pointer_of
from shadefmt.model.table_mapping import TableMapping

_LISTED: Final = 5


def mapping_of(value: dict[str, Any]) -> TableMapping:
    """Return a decoded table-mapping document as its model.

    Raises:
        WrongUse: it does not fit the format, or needs an extension.
    """
    try:
        mapping = TableMapping.model_validate(value)
    except ValidationError as error:
        faults = [f"{pointer_of(each['loc']) or '/'}: {each['msg']}" for each in error.errors()[:_LISTED]]
        raise WrongUse(f"the mapping is no sound table-mapping document: {'; '.join(faults)}") from None
    if mapping.extensions_required:
        raise WrongUse(f"the mapping needs extensions not known here: {', '.join(mapping.extensions_required)}")
    return mapping
