"""Between stages 5 and 6: the mean of several runs' weights, each with a share.

Runs that went on from the same weights lie close enough for their mean to work, and it is steadier
than each of them (Wortsman et al. 2022, "Model soups").
"""

from __future__ import annotations

import argparse
from pathlib import Path

import numpy as np


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("weights", nargs="+", help="FILE=SHARE; the shares add up to 1")
    args = parser.parse_args()
    pairs = [text.rsplit("=", 1) for text in args.weights]
    shares = [float(share) for _, share in pairs]
    if abs(sum(shares) - 1) > 1e-6:
        raise SystemExit(f"The shares add up to {sum(shares):g}: they must add up to 1.")
    files = [np.load(name) for name, _ in pairs]
    names = set(files[0].files)
    for (name, _), data in zip(pairs, files, strict=True):
        if set(data.files) != names:
            raise SystemExit(f"{name} does not hold the tensors of {pairs[0][0]}.")
    mean = {
        key: sum(
            share * data[key].astype(np.float32) for share, data in zip(shares, files, strict=True)
        ).astype(np.float16)
        for key in files[0].files
    }
    np.savez(args.out, **mean)


if __name__ == "__main__":
    main()
