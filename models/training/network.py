"""The network: Whisper tiny's encoder cut to short inputs, and a CTC head over letters."""

from __future__ import annotations

import numpy as np
import torch
import torch.nn.functional as F
from torch import Tensor, nn

VOCABULARY = " abcdefghijklmnopqrstuvwxyz'"  # class k + 1 is VOCABULARY[k]; class 0 is the blank
WIDTH, HEADS, BANDS, POSITIONS = 384, 6, 80, 600


def convolve(x: Tensor, conv: nn.Conv1d, stride: int) -> Tensor:
    """A width-3 convolution of (batch, time, channels) as one matrix product.

    cuDNN takes ten times longer over these shapes, and a product is what gets quantised to int8.
    """
    padded = F.pad(x, (0, 0, 1, 1))
    taps = [padded[:, k : k + x.shape[1] : stride] for k in range(3)]
    weight = conv.weight.permute(0, 2, 1).reshape(conv.out_channels, -1)
    return F.linear(torch.cat(taps, -1), weight, conv.bias)


class Layer(nn.Module):
    """Pre-norm transformer layer; six heads, no masking."""

    def __init__(self) -> None:
        super().__init__()
        self.attention_norm = nn.LayerNorm(WIDTH)
        self.qkv = nn.Linear(WIDTH, 3 * WIDTH)
        self.out = nn.Linear(WIDTH, WIDTH)
        self.feed_norm = nn.LayerNorm(WIDTH)
        self.up = nn.Linear(WIDTH, 4 * WIDTH)
        self.down = nn.Linear(4 * WIDTH, WIDTH)
        self.drop = 0.0

    def forward(self, x: Tensor) -> Tensor:
        batch, time, _ = x.shape
        qkv = self.qkv(self.attention_norm(x)).reshape(batch, time, 3, HEADS, WIDTH // HEADS)
        q, k, v = qkv.permute(2, 0, 3, 1, 4).unbind(0)
        mixed = F.scaled_dot_product_attention(q, k, v).transpose(1, 2).reshape(batch, time, WIDTH)
        x = x + F.dropout(self.out(mixed), self.drop, self.training)
        return x + F.dropout(
            self.down(F.gelu(self.up(self.feed_norm(x)))), self.drop, self.training
        )


class Recogniser(nn.Module):
    """Log-mel features (batch, 80, frames) to log-probabilities (batch, frames / 2, 29)."""

    def __init__(self, layers: int = 4, drop: float = 0.0) -> None:
        super().__init__()
        self.conv1 = nn.Conv1d(BANDS, WIDTH, 3, padding=1)
        self.conv2 = nn.Conv1d(WIDTH, WIDTH, 3, stride=2, padding=1)
        self.register_buffer("positions", torch.zeros(POSITIONS, WIDTH))
        self.layers = nn.ModuleList(Layer() for _ in range(layers))
        for layer in self.layers:
            layer.drop = drop
        self.norm = nn.LayerNorm(WIDTH)
        self.head = nn.Linear(WIDTH, len(VOCABULARY) + 1)

    def forward(self, mel: Tensor) -> Tensor:
        x = F.gelu(convolve(mel.transpose(1, 2), self.conv1, 1))
        x = F.gelu(convolve(x, self.conv2, 2))
        x = x + self.positions[: x.shape[1]]
        for layer in self.layers:
            x = layer(x)
        return self.head(self.norm(x)).float().log_softmax(-1)

    def load_encoder(self, path: str) -> None:
        """Take the encoder's weights from the npz written by make_packs.py."""
        data = np.load(path)

        def put(target: Tensor, name: str) -> None:
            target.data.copy_(torch.from_numpy(data["encoder/" + name].astype(np.float32)))

        for name in ("conv1", "conv2"):
            put(getattr(self, name).weight, f"{name}/weight")
            put(getattr(self, name).bias, f"{name}/bias")
        put(self.positions, "position_encodings/encodings")
        put(self.norm.weight, "layer_norm/gamma")
        put(self.norm.bias, "layer_norm/beta")
        for n, layer in enumerate(self.layers[:4]):
            for part, prefix in (
                (layer.qkv, "self_attention/linear_0"),
                (layer.out, "self_attention/linear_1"),
                (layer.up, "ffn/linear_0"),
                (layer.down, "ffn/linear_1"),
            ):
                put(part.weight, f"layer_{n}/{prefix}/weight")
                put(part.bias, f"layer_{n}/{prefix}/bias")
            for norm, prefix in (
                (layer.attention_norm, "self_attention"),
                (layer.feed_norm, "ffn"),
            ):
                put(norm.weight, f"layer_{n}/{prefix}/layer_norm/gamma")
                put(norm.bias, f"layer_{n}/{prefix}/layer_norm/beta")


def parameter_groups(
    model: Recogniser, rate: float, decay: float, head_rate: float
) -> list[dict[str, object]]:
    """AdamW groups: each layer below the top learns `decay` times slower than the one above it."""
    depth = len(model.layers)
    groups: list[dict[str, object]] = [
        {"params": list(model.head.parameters()) + list(model.norm.parameters()), "lr": head_rate}
    ]
    for n, layer in enumerate(model.layers):
        groups.append({"params": list(layer.parameters()), "lr": rate * decay ** (depth - 1 - n)})
    groups.append(
        {
            "params": [*model.conv1.parameters(), *model.conv2.parameters()],
            "lr": rate * decay**depth,
        }
    )
    return groups


def encode(text: str) -> list[int]:
    return [VOCABULARY.index(c) + 1 for c in text]
