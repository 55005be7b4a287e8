"""Runs the benchmarks named on the command line, or all of them, and prints their figures."""

import importlib
import pkgutil
import sys

import tests.bench


def main() -> None:
    names = sys.argv[1:] or sorted(
        module.name
        for module in pkgutil.iter_modules(tests.bench.__path__)
        if not module.name.startswith("_")
    )
    for name in names:
        for what, figure, unit in importlib.import_module(f"tests.bench.{name}").run():
            print(f"{name:12} {what:58} {figure:14,.3f} {unit}", flush=True)


if __name__ == "__main__":
    main()
