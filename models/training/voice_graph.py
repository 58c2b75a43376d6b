"""Run the Kokoro-82M int8 ONNX graph with PyTorch on any device.

The published file is quantised for CPUs; here every integer weight is made float again once, and
the dynamic quantisation of activations is skipped (scale 1), so the graph runs on a GPU as it is.
Only the operators of that one file are implemented; an unknown operator raises KeyError.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import onnx
import torch
import torch.nn.functional as F
from onnx import numpy_helper

Tensor = torch.Tensor
_DTYPE = {
    1: torch.float32,
    6: torch.int32,
    7: torch.int64,
    9: torch.bool,
    2: torch.float32,
    3: torch.float32,
    10: torch.float32,
}


class VoiceGraph:
    """One speech synthesiser; `render` takes phoneme ids, a style row and a speed."""

    def __init__(self, path: Path, device: str) -> None:
        model = onnx.load(str(path))
        self.device = torch.device(device)
        self.constants: dict[str, Tensor] = {}
        for item in model.graph.initializer:
            array = np.array(numpy_helper.to_array(item))
            tensor = torch.from_numpy(array)
            # Shapes and axes stay on the CPU: reading them back from a GPU would stall every node.
            self.constants[item.name] = tensor if tensor.dtype == torch.int64 else tensor.to(device)
        self.output = model.graph.output[0].name
        self.lstms: dict[str, torch.nn.LSTM] = {}
        self.plan: list[tuple[Callable[..., Any], Any, list[str], list[str], list[str]]] = []
        used: dict[str, int] = {}
        for index, node in enumerate(model.graph.node):
            for name in node.input:
                used[name] = index
        for index, node in enumerate(model.graph.node):
            attributes = {a.name: onnx.helper.get_attribute_value(a) for a in node.attribute}
            for key, value in attributes.items():
                if isinstance(value, onnx.TensorProto):
                    attributes[key] = torch.from_numpy(np.array(numpy_helper.to_array(value)))
            dead = [
                n for n in set(node.input) if n and used[n] == index and n not in self.constants
            ]
            self.plan.append(
                (
                    getattr(self, "op_" + node.op_type),
                    (attributes, node.name),
                    list(node.input),
                    list(node.output),
                    dead,
                )
            )
        self.pitch_name = ""
        for node in model.graph.node:
            if "F0_proj" in node.name and node.op_type in ("Add", "Conv", "ConvInteger", "Mul"):
                self.pitch_name = node.output[0]
        self.pitch = 1.0

    @torch.inference_mode()
    def render(self, tokens: Tensor, style: Tensor, speed: float, pitch: float = 1.0) -> Tensor:
        """Waveform (samples,) float32 at 24 kHz for tokens (1, n) and style (1, 256)."""
        values: dict[str, Tensor | None] = dict(self.constants)
        values[""] = None
        values["tokens"] = tokens.to(self.device)
        values["style"] = style.to(self.device)
        values["speed"] = torch.tensor([speed], dtype=torch.float32, device=self.device)
        for function, info, inputs, outputs, dead in self.plan:
            result = function(info, *[values[name] for name in inputs])
            if len(outputs) == 1:
                if outputs[0] == self.pitch_name and pitch != 1.0:
                    result = result * pitch
                values[outputs[0]] = result
            else:
                for name, item in zip(outputs, result, strict=False):
                    values[name] = item
            for name in dead:
                values.pop(name, None)
        audio = values[self.output]
        assert audio is not None
        return audio.reshape(-1).float()

    # --- elementwise -------------------------------------------------------------------------
    def pair(self, a: Tensor, b: Tensor) -> tuple[Tensor, Tensor]:
        if a.device != b.device:
            return a.to(self.device), b.to(self.device)
        return a, b

    def op_Mul(self, i, a, b):
        a, b = self.pair(a, b)
        return a * b

    def op_Add(self, i, a, b):
        a, b = self.pair(a, b)
        return a + b

    def op_Sub(self, i, a, b):
        a, b = self.pair(a, b)
        return a - b

    def op_Div(self, i, a, b):
        a, b = self.pair(a, b)
        if not a.is_floating_point():
            return torch.div(a, b, rounding_mode="trunc")
        return a / b

    def op_Pow(self, i, a, b):
        a, b = self.pair(a, b)
        return a**b

    def op_Sqrt(self, i, a):
        return a.sqrt()

    def op_Sin(self, i, a):
        return a.sin()

    def op_Cos(self, i, a):
        return a.cos()

    def op_Exp(self, i, a):
        return a.exp()

    def op_Atan(self, i, a):
        return torch.nan_to_num(a).atan()  # 0 / 0 where a bin is exactly silent

    def op_Tanh(self, i, a):
        return a.tanh()

    def op_Floor(self, i, a):
        return a.floor()

    def op_Round(self, i, a):
        return a.round()

    def op_Sigmoid(self, i, a):
        return a.sigmoid()

    def op_Softmax(self, i, a):
        return a.softmax(i[0].get("axis", -1))

    def op_LeakyRelu(self, i, a):
        return F.leaky_relu(a, i[0].get("alpha", 0.01))

    def op_FastGelu(self, i, a, bias=None):
        return F.gelu(a if bias is None else a + bias, approximate="tanh")

    def op_Clip(self, i, a, low=None, high=None):
        low = None if low is None else low.item()
        high = None if high is None else high.item()
        durations = a.clamp(low, high)
        # The graph clips one tensor, the frames of each phoneme. Whole lengths of 16 frames keep
        # the number of shapes small, for which cuDNN would otherwise plan every convolution anew; the
        # added silence falls behind the last phoneme.
        extra = -int(durations.sum().item()) % 16
        durations[..., -1] += extra
        return durations

    def op_Equal(self, i, a, b):
        a, b = self.pair(a, b)
        return a == b

    def op_Greater(self, i, a, b):
        a, b = self.pair(a, b)
        return a > b

    def op_GreaterOrEqual(self, i, a, b):
        a, b = self.pair(a, b)
        return a >= b

    def op_Less(self, i, a, b):
        a, b = self.pair(a, b)
        return a < b

    def op_And(self, i, a, b):
        a, b = self.pair(a, b)
        return a & b

    def op_Where(self, i, c, a, b):
        if not (c.device == a.device == b.device):
            c, a, b = c.to(self.device), a.to(self.device), b.to(self.device)
        return torch.where(c, a, b)

    def op_Cast(self, i, a):
        kind = _DTYPE[i[0]["to"]]
        return a if a.dtype == kind else a.to(kind)

    # --- shapes ------------------------------------------------------------------------------
    def op_Shape(self, i, a):
        shape = list(a.shape)[i[0].get("start", 0) : i[0].get("end", None)]
        return torch.tensor(shape, dtype=torch.int64)

    def op_Unsqueeze(self, i, a, axes):
        axes = sorted(x % (a.dim() + axes.numel()) for x in axes.tolist())
        for axis in axes:
            a = a.unsqueeze(axis)
        return a

    def op_Squeeze(self, i, a, axes=None):
        if axes is None:
            return a.squeeze()
        for axis in sorted((x % a.dim() for x in axes.tolist()), reverse=True):
            a = a.squeeze(axis)
        return a

    def op_Reshape(self, i, a, shape):
        wanted = [a.shape[k] if n == 0 else n for k, n in enumerate(shape.tolist())]
        return a.reshape(wanted)

    def op_Transpose(self, i, a):
        return a.permute(i[0].get("perm", list(range(a.dim()))[::-1]))

    def op_Gather(self, i, a, index):
        axis = i[0].get("axis", 0) % a.dim()
        if index.dim() == 0:
            return a.select(axis, int(index))
        if index.device != a.device:
            index = index.to(a.device)
        index = torch.where(index < 0, index + a.shape[axis], index)
        out = a.index_select(axis, index.reshape(-1))
        return out.reshape(*a.shape[:axis], *index.shape, *a.shape[axis + 1 :])

    def op_Split(self, i, a, sizes=None):
        axis = i[0].get("axis", 0)
        if sizes is not None:
            return a.split(sizes.tolist(), axis)
        parts = i[0].get("num_outputs", 2)
        return a.chunk(parts, axis)

    def op_Concat(self, i, *items):
        if len({x.device for x in items}) > 1:
            items = [x.to(self.device) for x in items]
        return torch.cat(list(items), i[0]["axis"])

    def op_Slice(self, i, a, starts, ends, axes=None, steps=None):
        starts, ends = starts.tolist(), ends.tolist()
        axes = axes.tolist() if axes is not None else list(range(len(starts)))
        steps = steps.tolist() if steps is not None else [1] * len(starts)
        for start, end, axis, step in zip(starts, ends, axes, steps, strict=True):
            size = a.shape[axis]
            if step < 0:
                index = torch.arange(size, device=a.device)[
                    slice(start, None if end < -size else end, 1)
                ]
                positions = list(range(size))[slice(start, None if end < -size else end, step)]
                index = torch.tensor(positions, device=a.device)
                a = a.index_select(axis, index)
                continue
            window = slice(start, min(end, size), step)
            a = a[(slice(None),) * (axis % a.dim()) + (window,)]
        return a

    def op_Expand(self, i, a, shape):
        return (
            a * torch.ones(shape.tolist(), dtype=a.dtype, device=a.device)
            if a.dtype != torch.bool
            else a.expand(torch.broadcast_shapes(a.shape, shape.tolist()))
        )

    def op_ConstantOfShape(self, i, shape):
        value = i[0].get("value", torch.zeros(1))
        out = torch.full(shape.tolist(), value.item(), dtype=value.dtype)
        return out if out.dtype == torch.int64 else out.to(self.device)

    def op_Range(self, i, start, limit, delta):
        return torch.arange(start.item(), limit.item(), delta.item())

    def op_NonZero(self, i, a):
        return a.nonzero().T

    def op_ScatterND(self, i, a, index, update):
        out = a.clone().to(self.device)
        index = index.to(self.device)
        out[tuple(index.unbind(-1))] = update.to(self.device).to(out.dtype)
        return out

    def op_CumSum(self, i, a, axis):
        return a.cumsum(int(axis))

    def op_Pad(self, i, a, pads, value=None, axes=None):
        mode = i[0].get("mode", b"constant").decode()
        pads = pads.tolist()
        half = len(pads) // 2
        flat: list[int] = []
        for k in reversed(range(half)):
            flat += [pads[k], pads[half + k]]
        if mode == "constant":
            return F.pad(a, flat, value=0.0 if value is None else float(value))
        while len(flat) > 2 and flat[-1] == 0 and flat[-2] == 0:
            flat = flat[:-2]
        kind = {"reflect": "reflect", "edge": "replicate"}[mode]
        if a.dim() == 2:
            return F.pad(a.unsqueeze(0), flat, mode=kind).squeeze(0)
        return F.pad(a, flat, mode=kind)

    # --- reductions --------------------------------------------------------------------------
    def op_ReduceMean(self, i, a, axes=None):
        dims = axes.tolist() if axes is not None else i[0].get("axes")
        return a.mean(dims, keepdim=bool(i[0].get("keepdims", 1)))

    def op_ReduceSum(self, i, a, axes=None):
        dims = axes.tolist() if axes is not None else i[0].get("axes")
        return a.sum(dims, keepdim=bool(i[0].get("keepdims", 1)))

    def op_LayerNormalization(self, i, a, scale, bias=None):
        axis = i[0].get("axis", -1)
        return F.layer_norm(a, a.shape[axis:], scale, bias, i[0].get("epsilon", 1e-5))

    def op_SkipLayerNormalization(self, i, a, skip, gamma, beta=None, bias=None):
        total = a + skip if bias is None else a + skip + bias
        return F.layer_norm(total, total.shape[-1:], gamma, beta, i[0].get("epsilon", 1e-12))

    # --- linear algebra ----------------------------------------------------------------------
    def op_MatMul(self, i, a, b):
        a, b = self.pair(a, b)
        return a @ b

    def op_FusedMatMul(self, i, a, b):
        a = a.transpose(-1, -2) if i[0].get("transA") else a
        b = b.transpose(-1, -2) if i[0].get("transB") else b
        return (a @ b) * i[0].get("alpha", 1.0)

    def op_DynamicQuantizeLinear(self, i, a):
        one = torch.ones((), device=a.device)
        return a, one, torch.zeros((), device=a.device)

    def op_DequantizeLinear(self, i, a, scale, zero=None):
        a = a.float()
        return (a - zero.float()) * scale if zero is not None else a * scale

    def weight(self, w: Tensor, zero: Tensor | None, key: str) -> Tensor:
        ready = self.constants.get("float:" + key)
        if ready is None:
            ready = w.float()
            if zero is not None:
                ready = ready - zero.float()
            self.constants["float:" + key] = ready
        return ready

    def op_MatMulInteger(self, i, a, b, a_zero=None, b_zero=None):
        if b.dtype not in (torch.int8, torch.uint8):
            return a @ b
        return a @ self.weight(b, b_zero, i[1])

    def convolve(self, i, a, w, bias=None):
        left, right = i[0].get("pads", [0, 0])
        if left != right:
            a, left = F.pad(a, [left, right]), 0
        return F.conv1d(
            a,
            w,
            bias,
            stride=i[0].get("strides", [1])[0],
            padding=left,
            dilation=i[0].get("dilations", [1])[0],
            groups=i[0].get("group", 1),
        )

    def op_ConvInteger(self, i, a, w, a_zero=None, w_zero=None):
        return self.convolve(i, a, self.weight(w, w_zero, i[1]))

    def op_Conv(self, i, a, w, bias=None):
        return self.convolve(i, a, w, bias)

    def op_ConvTranspose(self, i, a, w, bias=None):
        left, _ = i[0].get("pads", [0, 0])
        return F.conv_transpose1d(
            a,
            w,
            bias,
            stride=i[0].get("strides", [1])[0],
            padding=left,
            output_padding=i[0].get("output_padding", [0])[0],
            groups=i[0].get("group", 1),
            dilation=i[0].get("dilations", [1])[0],
        )

    def op_Resize(self, i, a, roi=None, scales=None, sizes=None):
        mode = i[0].get("mode", b"nearest").decode()
        kwargs: dict[str, Any] = {}
        if sizes is not None:
            kwargs["size"] = sizes.tolist()[2:]
        else:
            factors = scales.tolist()[2:]
            kwargs["size"] = [int(n * f) for n, f in zip(a.shape[2:], factors, strict=True)]
        if mode == "linear":
            return F.interpolate(a, mode="linear", align_corners=False, **kwargs)
        return F.interpolate(a, mode="nearest", **kwargs)

    def op_STFT(self, i, signal, step, window, length=None):
        signal = signal.squeeze(-1) if signal.dim() == 3 else signal
        size = window.numel()
        out = torch.stft(
            signal,
            size,
            int(step),
            size,
            window=window,
            center=False,
            onesided=bool(i[0].get("onesided", 1)),
            return_complex=True,
        )
        return torch.view_as_real(out.transpose(1, 2))

    def op_DynamicQuantizeLSTM(self, i, x, w, r, bias, lengths, h0, c0, p, ws, wz, rs, rz):
        lstm = self.lstms.get(i[1])
        if lstm is None:
            lstm = self.make_lstm(w, r, bias, ws, wz, rs, rz)
            self.lstms[i[1]] = lstm
        out, (h, c) = lstm(x)
        steps, batch, _ = x.shape
        hidden = lstm.hidden_size
        return out.reshape(steps, batch, 2, hidden).permute(0, 2, 1, 3), h, c

    def make_lstm(self, w, r, bias, ws, wz, rs, rz) -> torch.nn.LSTM:
        """A bidirectional LSTM from ONNX weights (gates i o f c) in PyTorch order (i f c o)."""
        hidden = r.shape[1]

        def gates(matrix: Tensor) -> Tensor:
            i, o, f, c = matrix.split(hidden, 0)
            return torch.cat([i, f, c, o], 0)

        def dequantised(q: Tensor, scale: Tensor, zero: Tensor, direction: int) -> Tensor:
            scale, zero = scale.reshape(2, -1), zero.reshape(2, -1).float()
            return ((q[direction].float() - zero[direction]) * scale[direction]).T

        lstm = torch.nn.LSTM(w.shape[1], hidden, bidirectional=True).to(self.device)
        for d, suffix in enumerate(("", "_reverse")):
            b = bias[d]
            with torch.inference_mode():
                parts = {
                    "weight_ih_l0": gates(dequantised(w, ws, wz, d)),
                    "weight_hh_l0": gates(dequantised(r, rs, rz, d)),
                    "bias_ih_l0": gates(b[: 4 * hidden].unsqueeze(1)).squeeze(1),
                    "bias_hh_l0": gates(b[4 * hidden :].unsqueeze(1)).squeeze(1),
                }
                for name, value in parts.items():
                    getattr(lstm, name + suffix).data.copy_(value)
        lstm.flatten_parameters()
        return lstm.eval()
