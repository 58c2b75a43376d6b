"""The weights (npz) inside an exported recogniser: to go on training from the one that is committed.

Exporting them again gives the same file, byte for byte: rounding to eight bits is done only once.
"""

from __future__ import annotations

import argparse
import tempfile
from pathlib import Path

import numpy as np
import onnx
import torch
from numpy.typing import NDArray
from onnx import numpy_helper

from export import Folded, write_float
from network import Recogniser

Arrays = dict[str, NDArray[np.float32]]


def tensors(path: Path) -> dict[str, NDArray[np.generic]]:
    return {t.name: numpy_helper.to_array(t) for t in onnx.load(str(path)).graph.initializer}


def places() -> dict[str, tuple[str, bool]]:
    """Which weight, and whether turned, each tensor of the graph is: found by its random values."""
    model = Recogniser()
    with torch.no_grad():
        for parameter in model.parameters():
            parameter.copy_(torch.randn_like(parameter) * 0.05)
    folded = Folded(model.eval()).eval()
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "float.onnx"
        write_float(folded, path)
        graph = tensors(path)
    found = {}
    for name, array in graph.items():
        for key, value in folded.state_dict().items():
            weight = value.numpy()
            turned = weight.ndim == 2 and weight.T.shape == array.shape
            if weight.shape == array.shape and np.array_equal(weight, array):
                found[name] = (key, False)
            elif turned and np.array_equal(weight.T, array):
                found[name] = (key, True)
    return found


def weights_of(path: Path) -> Arrays:
    graph = tensors(path)
    folded: Arrays = {}
    for name, (key, turned) in places().items():
        if name in graph:
            value = graph[name].astype(np.float32)
        else:
            steps = graph[name + "_quantized"].astype(np.float32)
            zero = graph[name + "_zero_point"].astype(np.float32)
            value = (steps - zero) * graph[name + "_scale"]
        folded[key] = value.T if turned else value
    weights = {key.removeprefix("model."): value for key, value in folded.items()}
    for convolution, linear in (("conv1", "first"), ("conv2", "second")):
        taps = weights.pop(f"{linear}.weight")
        weights[f"{convolution}.weight"] = taps.reshape(len(taps), 3, -1).transpose(0, 2, 1)
        weights[f"{convolution}.bias"] = weights.pop(f"{linear}.bias")
    missing = set(Recogniser().state_dict()) - set(weights)
    if missing:
        raise SystemExit(f"{path} has no {', '.join(sorted(missing))}: it was not exported here.")
    return weights


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--model", type=Path, required=True)
    parser.add_argument("--out", type=Path, required=True)
    args = parser.parse_args()
    weights = weights_of(args.model)
    np.savez(args.out, **{key: value.astype(np.float16) for key, value in weights.items()})


if __name__ == "__main__":
    main()
