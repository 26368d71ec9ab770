"""Damage to colours, means and spreads."""

import random
import statistics
from collections.abc import Callable
from itertools import permutations

from shadefmt.damaging.damage import Damage, Place, Value, computed, stump_means, stumps


def relabelled(member: str, words: tuple[str, ...]) -> Callable[[Damage, random.Random], None]:
    def spoil(made: Damage, rng: random.Random) -> None:
        place = rng.choice(stumps(made.case))
        at, colour = computed(made.case["readings"][place])
        colour[member] = rng.choice([each for each in words if each != colour[member]])
        made.expected.add(("colour-disagrees-with-spectrum", f"/readings/{place}/colours/{at}/lab"))
        made.cause = "other-basis"

    return spoil


def percent(made: Damage, rng: random.Random) -> None:
    place = rng.choice(stumps(made.case))
    reading = made.case["readings"][place]
    spectrum = reading["spectrum"]
    spectrum["decimals"] = max(spectrum["decimals"] - 2, 0)
    spectrum["values"] = [round(100 * each, spectrum["decimals"]) for each in spectrum["values"]]
    at, _ = computed(reading)
    made.expected |= {
        ("spectrum-scale-suspect", f"/readings/{place}/spectrum/values"),
        ("instrument-colour-differs-from-spectrum", f"/readings/{place}/colours/0/lab"),
        ("colour-disagrees-with-spectrum", f"/readings/{place}/colours/{at}/lab"),
    }
    made.cause = "scale"


def retyped_reading(made: Damage, rng: random.Random) -> None:
    place = rng.choice(stumps(made.case))
    reading = made.case["readings"][place]
    lab = reading["colours"][0]["lab"]
    lab["L"] = round(lab["L"] + 1.9, 2)
    at = next(index for index, each in enumerate(made.case["means"]) if reading["id"] in each["reading_ids"])
    made.expected |= {
        ("instrument-colour-differs-from-spectrum", f"/readings/{place}/colours/0/lab"),
        ("repeat-far-from-others", f"/readings/{place}"),
        ("mean-disagrees-with-readings", f"/means/{at}/colour/lab"),
        ("spread-disagrees-with-readings", f"/means/{at}/spread/mcdm"),
        *_spread_faults(made.case, at),
    }


def _spread_faults(case: Value, at: int) -> set[Place]:
    """Return which variances and covariances of a mean no longer follow from its readings."""
    mean = case["means"][at]
    by_id = {each["id"]: each["colours"][0]["lab"] for each in case["readings"]}
    columns = {name: [by_id[each][name] for each in mean["reading_ids"]] for name in "Lab"}
    right = {f"var_{name}": statistics.variance(columns[name]) for name in "Lab"}
    right |= {f"cov_{one}{two}": statistics.covariance(columns[one], columns[two]) for one, two in ("La", "Lb", "ab")}
    room = 0.5 * 10.0 ** -mean["spread"]["decimals"] + 1e-6
    return {
        ("spread-disagrees-with-readings", f"/means/{at}/spread/{member}")
        for member, value in right.items()
        if abs(mean["spread"][member] - value) > room
    }


def retyped_mean(made: Damage, rng: random.Random) -> None:
    at = rng.choice(stump_means(made.case))
    lab = made.case["means"][at]["colour"]["lab"]
    member = rng.choice("Lab")
    lab[member] = round(lab[member] + rng.choice((0.07, 0.7, 3.0)), 2)
    made.expected.add(("mean-disagrees-with-readings", f"/means/{at}/colour/lab"))
    made.cause = "one-coordinate"


def mean_of_others(made: Damage, rng: random.Random) -> None:
    at = rng.choice(stump_means(made.case))
    mean = made.case["means"][at]
    by_id = {each["id"]: each["colours"][0]["lab"] for each in made.case["readings"]}
    chosen = rng.sample(mean["reading_ids"], 2)
    mean["colour"]["lab"] = {
        name: round(statistics.fmean(by_id[each][name] for each in chosen), 2) for name in ("L", "a", "b")
    }
    made.expected.add(("mean-disagrees-with-readings", f"/means/{at}/colour/lab"))
    made.cause = "other-readings"


def reordered(made: Damage, rng: random.Random) -> None:
    place = rng.choice(stumps(made.case))
    at, colour = computed(made.case["readings"][place])
    lab = colour["lab"]
    order = rng.choice([each for each in permutations("Lab") if "".join(each) != "Lab"])
    colour["lab"] = {name: lab[source] for name, source in zip("Lab", order, strict=True)}
    made.expected.add(("colour-disagrees-with-spectrum", f"/readings/{place}/colours/{at}/lab"))
    made.cause = "order"


def flipped_sign(made: Damage, rng: random.Random) -> None:
    place = rng.choice(stumps(made.case))
    at, colour = computed(made.case["readings"][place])
    member = rng.choice("ab")
    colour["lab"][member] = -colour["lab"][member]
    made.expected.add(("colour-disagrees-with-spectrum", f"/readings/{place}/colours/{at}/lab"))
    made.cause = None  # a sign and one mistyped coordinate look the same


def withdrawn(made: Damage, rng: random.Random) -> None:
    at = rng.choice(stump_means(made.case))
    place = rng.randrange(len(made.case["means"][at]["reading_ids"]))
    withdrawal = {
        "id": "withdrawal-late",
        "revision_id": made.case["revisions"][1]["id"],
        "entry_id": made.case["means"][at]["reading_ids"][place],
        "reason": "moved",
    }
    made.case.setdefault("withdrawals", []).append(withdrawal)
    made.expected.add(("mean-includes-withdrawn", f"/means/{at}/reading_ids/{place}"))


def other_divisor(made: Damage, rng: random.Random) -> None:
    at = rng.choice(stump_means(made.case))
    mean = made.case["means"][at]
    by_id = {each["id"]: each["colours"][0]["lab"] for each in made.case["readings"]}
    member = max("Lab", key=lambda name: mean["spread"][f"var_{name}"])
    mean["spread"][f"var_{member}"] = round(
        statistics.pvariance([by_id[each][member] for each in mean["reading_ids"]]), mean["spread"]["decimals"]
    )
    made.expected |= _spread_faults(made.case, at) | _impossible(mean["spread"], at)
    made.cause = "divisor"


def _impossible(spread: Value, at: int) -> set[Place]:
    """Return the covariances that are larger than the variances allow (Cauchy and Schwarz)."""
    edge = 0.5 * 10.0 ** -spread["decimals"]
    return {
        ("covariance-impossible", f"/means/{at}/spread/cov_{one}{two}")
        for one, two in ("La", "Lb", "ab")
        if (abs(spread[f"cov_{one}{two}"]) - edge) ** 2 > (spread[f"var_{one}"] + edge) * (spread[f"var_{two}"] + edge)
    }


def spread_of_one(made: Damage, rng: random.Random) -> None:
    reading = made.case["readings"][rng.choice(stumps(made.case))]
    model = made.case["means"][stump_means(made.case)[0]]
    zeros = {name: 0 if isinstance(item, (int, float)) else item for name, item in model["spread"].items()}
    kept = {name: model["spread"][name] for name in ("formula", "k_L", "k_C", "k_H", "decimals", "covariance_of")}
    mean = {
        "id": "mean-of-one",
        "revision_id": made.case["revisions"][1]["id"],
        "reading_ids": [reading["id"]],
        "of_origin": "instrument",
        "colour": {**reading["colours"][0], "origin": "computed"},
        "spread": {**zeros, **kept},
    }
    made.case["means"].append(mean)
    at = len(made.case["means"]) - 1
    made.expected |= {
        ("spread-of-single-reading", f"/means/{at}/spread"),
        ("mean-of-single-reading", f"/means/{at}/reading_ids"),
    }
