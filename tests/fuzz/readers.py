"""Damaged files for every reader: ``python tests/fuzz/readers.py --count 5000 --seed 1``.

Each file has a number, so that a failure can be repeated: ``--seed NUMBER --count 1 --kind model``. With ``--on`` every
so many files that can be read are used as well (drawn, shown). Exit code 1 if any file fails.
"""

from __future__ import annotations

import argparse
import resource
import sys
import tempfile
import traceback
from collections import Counter
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[1] / "support"), str(Path(__file__).parents[2])]

MOST_MEMORY = 4 * 2**30


def main() -> int:
    """Tally by reader and outcome on stdout."""
    from mutations import READERS, case, outcome

    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=1000, help="files for each reader")
    parser.add_argument("--seed", type=int, default=1, help="number of the first")
    parser.add_argument("--kind", choices=READERS, action="append", help="only these readers")
    parser.add_argument("--on", type=int, default=10, help="use every so many files (0: none)")
    parser.add_argument("--show", action="store_true", help="print the trace of each failure")
    given = parser.parse_args()
    resource.setrlimit(resource.RLIMIT_AS, (MOST_MEMORY, MOST_MEMORY))
    failed = 0
    with tempfile.TemporaryDirectory() as folder:
        for kind in given.kind or READERS:
            tally: Counter[str] = Counter()
            for seed in range(given.seed, given.seed + given.count):
                path = case(kind, seed, Path(folder))
                on = bool(given.on) and seed % given.on == 0
                try:
                    tally[outcome(READERS[kind], path, on=on)] += 1
                except BaseException as error:
                    if isinstance(error, KeyboardInterrupt):
                        raise
                    tally["FAILED"] += 1
                    print(f"{kind} {seed}: {type(error).__name__}: {str(error)[:400]}", flush=True)
                    if given.show:
                        traceback.print_exc()
                path.unlink()
            failed += tally["FAILED"]
            print(kind, *(f"{word} {tally[word]}" for word in sorted(tally)), sep="\t", flush=True)
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
