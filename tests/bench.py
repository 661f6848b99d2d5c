"""Benchmarks, as ratios so that they hold on any machine. `python3 start.py bench` runs them."""

from __future__ import annotations

import statistics
import subprocess
import sys
import time
from collections.abc import Callable
from dataclasses import replace

from hpelec.core.tables import data_folder
from hpelec.house.read import read_house
from hpelec.plan import design
from tests import bench_browser, bench_coincidence, bench_loads
from tests.houses import EXAMPLES


def median_s(work: Callable[[], object], times: int = 5) -> float:
    """Median seconds of several runs."""
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        work()
        taken.append(time.perf_counter() - start)
    return statistics.median(taken)


def start_s(code: str) -> float:
    """Median seconds of a fresh interpreter that runs `code`, less an empty one's."""

    def run(text: str) -> float:
        return median_s(lambda: subprocess.run([sys.executable, "-c", text], check=True))

    return run(code) - run("pass")


def cold_design_s(folder: str) -> float:
    """Median seconds of the first design in a fresh interpreter, where nothing is kept from before."""
    code = (
        "import sys, time; from hpelec import design, read_house; h = read_house(sys.argv[1]); "
        "t = time.perf_counter(); design(h); print(time.perf_counter() - t)"
    )
    command = [sys.executable, "-c", code, folder]
    return statistics.median(
        float(subprocess.run(command, check=True, capture_output=True, text=True).stdout) for _ in range(3)
    )


def main() -> None:
    """Print each measurement with what it is compared to."""
    pandas_s, ours_s = start_s("import pandas"), start_s("import hpelec")
    full_s = start_s("import hpelec; hpelec.design")
    print(
        f"import hpelec          {ours_s * 1000:7.1f} ms   {ours_s / pandas_s:6.3f} of import pandas ({pandas_s:.2f} s)"
    )
    print(f"  with its reader      {full_s * 1000:7.1f} ms   {full_s / pandas_s:6.3f} of `import pandas`")
    for name in EXAMPLES:
        folder = data_folder() / "houses" / name
        read_s = median_s(lambda folder=folder: read_house(folder))
        house = read_house(folder)
        cold_s = cold_design_s(str(folder))
        plan = design(house)
        first, *rest = house.appliances
        changed = house.changed(appliances=(replace(first, power_VA=(first.power_VA or 0.0) + 100.0), *rest))
        again_s = median_s(lambda plan=plan, changed=changed: plan.redesign(changed))
        print(
            f"{name:22} read {read_s * 1000:6.0f} ms, design {cold_s * 1000:6.0f} ms, "
            f"after one appliance {again_s * 1000:6.0f} ms = {again_s / cold_s:.2f} of the first "
            f"({', '.join(plan.redesign(changed).recomputed)})"
        )
    bench_loads.main()
    bench_coincidence.main()
    bench_browser.main()


if __name__ == "__main__":
    main()
