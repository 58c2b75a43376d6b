"""Stage 6: weights (npz) to an ONNX file with int8 matrix products, checked against PyTorch."""

from __future__ import annotations

import argparse
import hashlib
import tempfile
from pathlib import Path

import numpy as np
import onnxruntime
import torch
from onnxruntime.quantization import QuantType, quantize_dynamic
from torch import Tensor, nn

from network import Recogniser


class Folded(nn.Module):
    """The same network with the convolutions' weights stored as plain matrices, so they quantise."""

    def __init__(self, model: Recogniser) -> None:
        super().__init__()
        self.model = model
        self.first = self.as_linear(model.conv1)
        self.second = self.as_linear(model.conv2)

    @staticmethod
    def as_linear(conv: nn.Conv1d) -> nn.Linear:
        weight = conv.weight.detach().permute(0, 2, 1).reshape(conv.out_channels, -1)
        linear = nn.Linear(weight.shape[1], weight.shape[0])
        linear.weight.data.copy_(weight)
        linear.bias.data.copy_(conv.bias.detach())
        return linear

    def forward(self, mel: Tensor) -> Tensor:
        x = nn.functional.pad(mel.transpose(1, 2), (0, 0, 1, 1))
        x = nn.functional.gelu(self.first(torch.cat([x[:, :-2], x[:, 1:-1], x[:, 2:]], -1)))
        x = nn.functional.pad(x, (0, 0, 1, 1))
        x = nn.functional.gelu(self.second(torch.cat([x[:, :-2:2], x[:, 1:-1:2], x[:, 2::2]], -1)))
        x = x + self.model.positions[: x.shape[1]]
        for layer in self.model.layers:
            x = layer(x)
        return self.model.head(self.model.norm(x)).log_softmax(-1)


def write_float(folded: Folded, path: Path) -> None:
    torch.onnx.export(
        folded,
        (torch.randn(1, 80, 240),),
        str(path),
        input_names=["features"],
        output_names=["log_probabilities"],
        dynamic_axes={
            "features": {0: "batch", 2: "frames"},
            "log_probabilities": {0: "batch", 1: "steps"},
        },
        opset_version=17,
        dynamo=False,
    )


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--weights", type=Path, required=True)
    parser.add_argument("--encoder", help="for the position table, where the weights have none")
    parser.add_argument("--out", type=Path, required=True)
    args = parser.parse_args()
    model = Recogniser()
    if args.encoder:
        model.load_encoder(args.encoder)
    saved = np.load(args.weights)
    model.load_state_dict(
        {k: torch.from_numpy(saved[k].astype(np.float32)) for k in saved.files}, strict=False
    )
    folded = Folded(model.eval()).eval()
    with tempfile.TemporaryDirectory() as folder:
        whole = Path(folder) / "float.onnx"
        write_float(folded, whole)
        quantize_dynamic(
            str(whole),
            str(args.out),
            weight_type=QuantType.QInt8,
            per_channel=True,
            op_types_to_quantize=["MatMul", "Gemm"],
        )
    session = onnxruntime.InferenceSession(str(args.out), providers=["CPUExecutionProvider"])
    for frames in (100, 240, 801):
        mel = torch.randn(1, 80, frames)
        got = session.run(None, {"features": mel.numpy()})[0]
        with torch.no_grad():
            want = model(mel).numpy()
        print(
            frames, got.shape, "same best class:", float((got.argmax(-1) == want.argmax(-1)).mean())
        )
    data = args.out.read_bytes()
    print(args.out, len(data), "bytes, sha256", hashlib.sha256(data).hexdigest())


if __name__ == "__main__":
    main()
