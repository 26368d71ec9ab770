"""Spectra to CIELAB against named peers, in one run; prints times and ratios.

Unset OPENBLAS_CORETYPE and OPENBLAS_L2_SIZE first: they change what numpy's matrix product costs. Contenders
take turns and each counts with its best round, so that a busy machine disturbs all alike.
"""

import sys
import time
import warnings
from collections.abc import Callable

import numpy as np

from shadefmt.colour import tables, weights
from shadefmt.colour.single import spectrum_to_xyz, xyz_to_lab
from shadefmt.colour.spectra import spectra_to_lab, spectra_to_xyz

ROWS = 1_000_000
ILLUMINANT, OBSERVER, START, STEP, COUNT = "D65", "10-degree", 400, 10, 31


def best(contenders: dict[str, Callable[[], object]], rounds: int) -> dict[str, float]:
    """Best time of each in seconds."""
    times = dict.fromkeys(contenders, float("inf"))
    for _ in range(rounds):
        for name, run in contenders.items():
            begin = time.perf_counter()
            run()
            times[name] = min(times[name], time.perf_counter() - begin)
    return times


def show(title: str, times: dict[str, float], reference: str) -> None:
    sys.stdout.write(f"\n{title}\n")
    for name, seconds in times.items():
        sys.stdout.write(f"  {name:<52}{seconds * 1e3:>12.4f} ms{seconds / times[reference]:>10.2f} x\n")


def plain_lab(spectra: np.ndarray, matrix: np.ndarray, white: np.ndarray) -> np.ndarray:
    """The peer: one matrix product and the CIELAB transform over the whole array."""
    ratio = spectra @ matrix / white
    root = np.where(ratio > 216 / 24389, np.cbrt(ratio), (24389 / 27 * ratio + 16) / 116)
    x, y, z = root[:, 0], root[:, 1], root[:, 2]
    return np.stack([116 * y - 16, 500 * (x - y), 200 * (y - z)], axis=-1)


def bench_arrays() -> None:
    spectra = np.random.default_rng(0).random((ROWS, COUNT))
    factors = weights.weights(ILLUMINANT, OBSERVER, START, STEP, COUNT)
    matrix, white = np.array([factors.x, factors.y, factors.z]).T.copy(), np.array(factors.white)
    condition = ILLUMINANT, OBSERVER, START, STEP
    times = best(
        {
            "plain numpy: matmul and transform": lambda: plain_lab(spectra, matrix, white),
            "plain numpy: matmul alone": lambda: spectra @ matrix,
            "shadefmt spectra_to_xyz": lambda: spectra_to_xyz(spectra, *condition),
            "shadefmt spectra_to_lab": lambda: spectra_to_lab(spectra, *condition),
        },
        rounds=7,
    )
    show(f"{ROWS} spectra of {COUNT} bands", times, "plain numpy: matmul and transform")
    deviation = np.abs(spectra_to_lab(spectra, *condition) - plain_lab(spectra, matrix, white)).max()
    sys.stdout.write(f"  largest difference from plain numpy: {deviation:.1e} in CIELAB\n")


def bench_single() -> None:
    factors = weights.weights(ILLUMINANT, OBSERVER, START, STEP, COUNT)
    values = [0.2 + 0.02 * band for band in range(COUNT)]
    array = np.array(values)
    condition = ILLUMINANT, OBSERVER, START, STEP
    times = best(
        {
            "spectrum_to_xyz, plain Python": lambda: spectrum_to_xyz(values, factors),
            "and xyz_to_lab": lambda: xyz_to_lab(spectrum_to_xyz(values, factors), factors.white),
            "spectra_to_lab for the same one spectrum": lambda: spectra_to_lab(array, *condition),
        },
        rounds=2000,
    )
    show("one spectrum", times, "spectrum_to_xyz, plain Python")


def bench_tables() -> None:
    read_light, read_eye = tables.illuminant_table.__wrapped__, tables.observer_table.__wrapped__
    grid = tuple(float(START + STEP * band) for band in range(COUNT))
    build = weights._weights_at.__wrapped__
    times = best(
        {
            "build one table of weights": lambda: build(ILLUMINANT, OBSERVER, grid),
            "read one illuminant": lambda: read_light(ILLUMINANT),
            "read one observer": lambda: read_eye(OBSERVER),
        },
        rounds=50,
    )
    show("tables, plain Python", times, "build one table of weights")


def bench_colour_science() -> None:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import colour

        shape = colour.SpectralShape(360, 780, 1)
        functions = colour.MSDS_CMFS["CIE 1964 10 Degree Standard Observer"].copy().align(shape)
        light = colour.SDS_ILLUMINANTS[ILLUMINANT].copy().align(shape)
        bands = colour.SpectralShape(START, START + STEP * (COUNT - 1), STEP)
        random = np.random.default_rng(1)
        chromaticity = colour.CCS_ILLUMINANTS["CIE 1964 10 Degree Standard Observer"][ILLUMINANT]

        def one() -> object:
            sample = colour.SpectralDistribution(random.random(COUNT), bands)  # a new one: it keeps results
            return colour.XYZ_to_Lab(colour.sd_to_XYZ(sample, functions, light) / 100, chromaticity)

        condition = ILLUMINANT, OBSERVER, START, STEP
        times = best(
            {
                "colour-science sd_to_XYZ and XYZ_to_Lab": one,
                "shadefmt spectra_to_lab, one spectrum": lambda: spectra_to_lab(random.random(COUNT), *condition),
            },
            rounds=200,
        )
    show("one new spectrum", times, "shadefmt spectra_to_lab, one spectrum")


def main() -> None:
    """Run all and print."""
    bench_arrays()
    bench_single()
    bench_tables()
    bench_colour_science()


if __name__ == "__main__":
    main()
