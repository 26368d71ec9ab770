"""What a writer can be given: a case that fits the format."""

from typing import Any

from pydantic import ValidationError

from shadefmt.errors import WrongUse
from shadefmt.model.kinds import model_of
from shadefmt.versions import FORMAT_NAME, FORMAT_VERSION


def demand_case(case: dict[str, Any], what: str) -> None:
    """Raise WrongUse for what is no case; members that a newer version added are no fault."""
    if case.get("format") != FORMAT_NAME or case.get("kind") != "case":
        raise WrongUse(f"only a case can be written as {what}")
    try:
        model_of("case").model_validate({**case, "version": FORMAT_VERSION})
    except ValidationError as failure:
        faults = [each for each in failure.errors() if each["type"] != "extra_forbidden"]
        if faults:
            place = "/".join(map(str, faults[0]["loc"]))
            raise WrongUse(f"the case does not fit the format at /{place}: check it first") from None
    identities = [each["id"] for each in case.get("readings", ())]
    if len(set(identities)) < len(identities):
        raise WrongUse("two readings of the case have one id: check it first")
