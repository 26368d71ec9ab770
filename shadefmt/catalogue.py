"""The catalogue of rules: code, severity, wording and source of everything the checker can say."""

import json
from functools import cache
from typing import Any, NamedTuple

from shadefmt.resources import schema_folder
from shadefmt.vocabulary import Demand, Severity, Stage


class RuleEntry(NamedTuple):
    """One rule of the catalogue."""

    code: str
    stage: Stage
    severity: Severity
    section: str
    kinds: frozenset[str]
    needs: frozenset[str]
    title: str
    message: str
    remedy: str
    source: str
    why: str = ""
    guard: str = ""
    parameters: tuple[str, ...] = ()
    asks: str = ""
    since: str = "1.0"

    def say(self, params: dict[str, Any]) -> str:
        """Return the message with its parameters filled in."""
        return _filled(self.message, params)

    def advise(self, params: dict[str, Any]) -> str:
        """Return the remedy with its parameters filled in."""
        return _filled(self.remedy, params)


class DemandEntry(NamedTuple):
    """The words of one demand that an intake profile may make."""

    demand: Demand
    title: str
    remedy: str
    source: str


class Catalogue(NamedTuple):
    """All rules by code, the version of the set, the rules that no profile lowers, and the words of demands."""

    rule_set: str
    rules: dict[str, RuleEntry]
    protected: frozenset[str]
    demands: dict[str, DemandEntry]


@cache
def catalogue() -> Catalogue:
    """Return the catalogue as published in `schema/rules.json`."""
    published = json.loads((schema_folder() / "rules.json").read_bytes())
    rules = {}
    for each in published["rules"]:
        each["kinds"] = frozenset(each["kinds"])
        each["needs"] = frozenset(each.get("needs", ()))
        each["parameters"] = tuple(each.get("parameters", ()))
        rules[each["code"]] = RuleEntry(**each)
    demands = {each["demand"]: DemandEntry(**each) for each in published["demands"]}
    return Catalogue(published["rule_set"], rules, frozenset(published["protected"]), demands)


def _filled(template: str, params: dict[str, Any]) -> str:
    return template.format_map({name: in_words(item) for name, item in params.items()})


def in_words(item: Any) -> str:
    """Return a parameter as it stands in a sentence: whole floats without a point, lists with commas."""
    if isinstance(item, list | tuple):
        return ", ".join(in_words(each) for each in item)
    if isinstance(item, float):
        return str(int(item)) if item.is_integer() and abs(item) < 2**53 else repr(item)
    return str(item)
