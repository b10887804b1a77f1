"""Runs a voice's ONNX graph with PyTorch, on a GPU or a CPU.

The int8 export of the many-voiced engine is slower than speech on one CPU core (0.5 s of speech a second, measured),
because the runtime has no fast kernel for its integer convolutions. Here the integer weights are turned back into
floats once, and the graph runs on whatever device PyTorch has. Shape arithmetic stays on the CPU, so that the GPU is
never waited for.

Dynamic quantisation of activations is left out: ``DynamicQuantizeLinear`` passes its input on with scale 1 and zero
point 0, and the integer products become float products of the same weights, which is closer to the original network.

Longer than other modules because it is one table: an operator of the graph, a few lines of PyTorch.
"""

# ruff: noqa: ARG005 - every operator has the same two arguments
from __future__ import annotations

import math
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import onnx
import torch
import torch.nn.functional as nnf
from onnx import numpy_helper

Value = Any
Op = Callable[[list[Value], dict[str, Any]], Any]

_DTYPES = {
    1: torch.float32,
    2: torch.uint8,
    3: torch.int8,
    6: torch.int32,
    7: torch.int64,
    9: torch.bool,
    10: torch.float16,
    11: torch.float64,
}
# Results of these are shapes or indices, small enough to stay on the CPU.
_HOST_OPS = {"Shape", "Range", "ConstantOfShape", "Size"}


def _ints(t: torch.Tensor) -> list[int]:
    return [int(v) for v in t.reshape(-1).tolist()]


def _pads(attrs: dict[str, Any], dims: int) -> tuple[list[int], list[int]]:
    pads = list(attrs.get("pads", [0] * 2 * dims))
    return pads[:dims], pads[dims:]


class OnnxTorch:
    """One ONNX graph, ready to run.

    Args:
        path: the ``.onnx`` file.
        device: where floating point work happens, for example ``"cuda"``.
    """

    def __init__(self, path: Path, device: str = "cpu") -> None:
        graph = onnx.load(str(path)).graph
        self.device = torch.device(device)
        self.nodes = list(graph.node)
        self.outputs = [o.name for o in graph.output]
        self.attrs = [{a.name: onnx.helper.get_attribute_value(a) for a in n.attribute} for n in self.nodes]
        self.constants: dict[str, torch.Tensor] = {}
        for init in graph.initializer:
            t = torch.from_numpy(np.array(numpy_helper.to_array(init)))
            self.constants[init.name] = t
        self._dequantise()
        self._last_use = self._lifetimes()

    def _lifetimes(self) -> list[list[str]]:
        last: dict[str, int] = {}
        for i, n in enumerate(self.nodes):
            for name in n.input:
                if name and name not in self.constants:
                    last[name] = i
        out: list[list[str]] = [[] for _ in self.nodes]
        for name, i in last.items():
            if name not in self.outputs:
                out[i].append(name)
        return out

    def _dequantise(self) -> None:
        self.weights: dict[int, Any] = {}
        c = self.constants
        for i, n in enumerate(self.nodes):
            if n.op_type in ("MatMulInteger", "ConvInteger") and n.input[1] in c:
                w = c[n.input[1]].to(torch.float32)
                zero = c[n.input[3]].to(torch.float32) if len(n.input) > 3 and n.input[3] else torch.tensor(0.0)
                if n.op_type == "ConvInteger" and zero.ndim == 1 and zero.numel() > 1:
                    zero = zero.reshape(-1, *[1] * (w.ndim - 1))
                self.weights[i] = (w - zero).to(self.device)
            elif n.op_type == "DynamicQuantizeLSTM":
                self.weights[i] = self._lstm_weights(n)
        quantised = {n.input[1] for n in self.nodes if n.op_type in ("MatMulInteger", "ConvInteger")}
        for name, t in c.items():
            if t.is_floating_point() and name not in quantised and t.numel() > 16:
                c[name] = t.to(self.device)

    def _lstm_weights(self, n: Any) -> list[torch.Tensor]:
        """Weights in PyTorch's order (input, forget, cell, output) from ONNX's (input, output, forget, cell)."""
        c = self.constants
        w, r, b = c[n.input[1]].float(), c[n.input[2]].float(), c[n.input[3]].float()
        ws, wz, rs, rz = (c[n.input[k]].float() for k in (8, 9, 10, 11))

        def deq(q: torch.Tensor, s: torch.Tensor, z: torch.Tensor) -> torch.Tensor:
            shape = (s.shape[0], 1, -1) if s.ndim == 2 else (-1, 1, 1)
            return (q - z.reshape(shape)) * s.reshape(shape)

        w, r = deq(w, ws, wz).transpose(1, 2), deq(r, rs, rz).transpose(1, 2)  # (directions, 4H, I)
        hidden = r.shape[2]
        order = torch.cat([torch.arange(k * hidden, (k + 1) * hidden) for k in (0, 2, 3, 1)])
        flat = []
        for d in range(w.shape[0]):
            flat += [w[d][order], r[d][order], b[d][: 4 * hidden][order], b[d][4 * hidden :][order]]
        return [t.contiguous().to(self.device) for t in flat]

    @torch.no_grad()
    def run(self, feeds: dict[str, np.ndarray]) -> list[torch.Tensor]:
        """Run the graph on named inputs and return its outputs, on the device."""
        env: dict[str, Any] = dict(self.constants)
        for name, value in feeds.items():
            t = torch.from_numpy(value)
            env[name] = t.to(self.device) if t.is_floating_point() else t
        for i, n in enumerate(self.nodes):
            ins = [env[x] if x else None for x in n.input]
            if n.op_type in ("MatMulInteger", "ConvInteger"):
                out = self._integer(n.op_type, ins, self.attrs[i], self.weights.get(i))
            elif n.op_type == "DynamicQuantizeLSTM":
                out = self._lstm(ins, self.weights[i])
            else:
                out = OPS[n.op_type](self._same_device(n.op_type, ins), self.attrs[i])
            results = out if isinstance(out, tuple) else (out,)
            for name, value in zip(n.output, results, strict=False):
                if name:
                    env[name] = value
            for name in self._last_use[i]:
                env.pop(name, None)
        return [env[o] for o in self.outputs]

    def _same_device(self, op: str, ins: list[Value]) -> list[Value]:
        if op in _HOST_OPS or self.device.type == "cpu":
            return ins
        if any(t is not None and t.device != torch.device("cpu") for t in ins):
            keep_host = {
                "Reshape",
                "Expand",
                "Slice",
                "Unsqueeze",
                "Squeeze",
                "Resize",
                "Pad",
                "Split",
                "ReduceMean",
                "ReduceSum",
                "STFT",
                "CumSum",
            }
            if op in keep_host:
                return ins
            return [
                t.to(self.device, non_blocking=True) if t is not None and t.device != self.device and t.ndim > 0 else t
                for t in ins
            ]
        return ins

    def _integer(self, op: str, ins: list[Value], attrs: dict[str, Any], weight: torch.Tensor | None) -> torch.Tensor:
        x = ins[0].to(self.device).float()
        w = weight if weight is not None else ins[1].to(self.device).float()
        if op == "MatMulInteger":
            return torch.matmul(x, w)
        return _conv([x, w, None], attrs)

    def _lstm(self, ins: list[Value], flat: list[torch.Tensor]) -> tuple[torch.Tensor, ...]:
        x = ins[0].to(self.device)
        h0, c0 = ins[5].to(self.device), ins[6].to(self.device)
        bidirectional = len(flat) == 8
        y, h, c = torch._VF.lstm(x, (h0, c0), flat, True, 1, 0.0, False, bidirectional, False)  # type: ignore[attr-defined]
        directions = 2 if bidirectional else 1
        seq, batch, _ = y.shape
        return y.reshape(seq, batch, directions, -1).transpose(1, 2), h, c


def _conv(ins: list[Value], attrs: dict[str, Any]) -> torch.Tensor:
    x, w, b = (*ins, None)[:3]
    dims = w.ndim - 2
    begin, end = _pads(attrs, dims)
    if begin != end:
        x = nnf.pad(x, [v for pair in zip(reversed(begin), reversed(end), strict=True) for v in pair])
        begin = [0] * dims
    fn = (nnf.conv1d, nnf.conv2d)[dims - 1]
    return fn(
        x,
        w,
        b,
        stride=attrs.get("strides", [1] * dims),
        padding=begin,
        dilation=attrs.get("dilations", [1] * dims),
        groups=attrs.get("group", 1),
    )


def _conv_transpose(ins: list[Value], attrs: dict[str, Any]) -> torch.Tensor:
    x, w, b = (*ins, None)[:3]
    dims = w.ndim - 2
    begin, end = _pads(attrs, dims)
    if begin != end:
        raise ValueError("uneven padding of a transposed convolution is not supported")
    fn = (nnf.conv_transpose1d, nnf.conv_transpose2d)[dims - 1]
    return fn(
        x,
        w,
        b,
        stride=attrs.get("strides", [1] * dims),
        padding=begin,
        output_padding=attrs.get("output_padding", [0] * dims),
        groups=attrs.get("group", 1),
        dilation=attrs.get("dilations", [1] * dims),
    )


def _slice(ins: list[Value], _: dict[str, Any]) -> torch.Tensor:
    x, starts, ends = ins[:3]
    axes = _ints(ins[3]) if len(ins) > 3 and ins[3] is not None else list(range(starts.numel()))
    steps = _ints(ins[4]) if len(ins) > 4 and ins[4] is not None else [1] * len(axes)
    for axis, a, b, step in zip(axes, _ints(starts), _ints(ends), steps, strict=True):
        size = x.shape[axis]
        if step < 0:
            x = torch.flip(x, [axis])
            if step != -1:
                raise ValueError("only a step of -1 is supported backwards")
            continue
        picked = range(size)[a:b:step]
        if step == 1:
            x = x.narrow(axis, picked.start if len(picked) else 0, len(picked))
        else:
            x = x.index_select(axis, torch.tensor(list(picked), device=x.device))
    return x


def _reshape(ins: list[Value], _: dict[str, Any]) -> torch.Tensor:
    x, shape = ins
    want = _ints(shape)
    return x.reshape([x.shape[i] if v == 0 else v for i, v in enumerate(want)])


def _resize(ins: list[Value], attrs: dict[str, Any]) -> torch.Tensor:
    x = ins[0]
    if len(ins) > 3 and ins[3] is not None:
        size = _ints(ins[3])[2:]
        scales = None
    else:
        scales = [float(v) for v in ins[2].reshape(-1).tolist()][2:]
        size = [math.floor(n * s) for n, s in zip(x.shape[2:], scales, strict=True)]
    mode = attrs.get("mode", b"nearest").decode()
    if mode == "nearest":
        return nnf.interpolate(x, size=size, mode="nearest")
    corners = attrs.get("coordinate_transformation_mode", b"half_pixel") == b"align_corners"
    return nnf.interpolate(x, size=size, mode="linear", align_corners=corners)


def _stft(ins: list[Value], attrs: dict[str, Any]) -> torch.Tensor:
    signal, step, window = ins[0], int(ins[1]), ins[2]
    x = signal.squeeze(-1) if signal.ndim == 3 else signal
    n_fft = int(ins[3]) if len(ins) > 3 and ins[3] is not None else window.numel()
    frames = x.unfold(-1, n_fft, step) * window.to(x.device)
    spec = torch.fft.rfft(frames) if attrs.get("onesided", 1) else torch.fft.fft(frames)
    return torch.view_as_real(spec)


def _pad(ins: list[Value], attrs: dict[str, Any]) -> torch.Tensor:
    x, pads = ins[0], _ints(ins[1])
    mode = attrs.get("mode", b"constant").decode()
    dims = len(pads) // 2
    axes = _ints(ins[3]) if len(ins) > 3 and ins[3] is not None else list(range(dims))
    full = [[0, 0] for _ in range(x.ndim)]
    for k, axis in enumerate(axes):
        full[axis] = [pads[k], pads[k + dims]]
    if mode == "constant":
        value = float(ins[2]) if len(ins) > 2 and ins[2] is not None else 0.0
        return nnf.pad(x, [v for pair in reversed(full) for v in pair], value=value)
    while len(full) > 1 and full[0] == [0, 0]:
        full = full[1:]
    flat = [v for pair in reversed(full) for v in pair]
    names = {"reflect": "reflect", "edge": "replicate"}
    if x.ndim == 2:
        return nnf.pad(x[None], flat, mode=names[mode])[0]
    return nnf.pad(x, flat, mode=names[mode])


def _split(ins: list[Value], attrs: dict[str, Any]) -> tuple[torch.Tensor, ...]:
    x, axis = ins[0], attrs.get("axis", 0)
    if len(ins) > 1 and ins[1] is not None:
        return tuple(torch.split(x, _ints(ins[1]), dim=axis))
    parts = attrs.get("num_outputs", 2)
    return tuple(torch.chunk(x, parts, dim=axis))


def _gather(ins: list[Value], attrs: dict[str, Any]) -> torch.Tensor:
    x, index = ins
    axis = attrs.get("axis", 0)
    if index.ndim == 0:
        return x.select(axis, int(index))
    index = index.to(x.device)
    index = torch.where(index < 0, index + x.shape[axis], index)
    out = x.index_select(axis, index.reshape(-1))
    return out.reshape(*x.shape[:axis], *index.shape, *x.shape[axis + 1 :])


def _reduce(fn: Callable[..., torch.Tensor]) -> Op:
    def op(ins: list[Value], attrs: dict[str, Any]) -> torch.Tensor:
        x = ins[0]
        axes = _ints(ins[1]) if len(ins) > 1 and ins[1] is not None else attrs.get("axes")
        keep = bool(attrs.get("keepdims", 1))
        return fn(x, dim=list(axes) if axes is not None else list(range(x.ndim)), keepdim=keep)

    return op


def _unsqueeze(ins: list[Value], attrs: dict[str, Any]) -> torch.Tensor:
    x = ins[0]
    axes = _ints(ins[1]) if len(ins) > 1 else list(attrs["axes"])
    rank = x.ndim + len(axes)
    for axis in sorted(a % rank for a in axes):
        x = x.unsqueeze(axis)
    return x


def _squeeze(ins: list[Value], attrs: dict[str, Any]) -> torch.Tensor:
    x = ins[0]
    axes = _ints(ins[1]) if len(ins) > 1 and ins[1] is not None else attrs.get("axes")
    if axes is None:
        return x.squeeze()
    for axis in sorted((a % x.ndim for a in axes), reverse=True):
        x = x.squeeze(axis)
    return x


def _div(ins: list[Value], _: dict[str, Any]) -> torch.Tensor:
    a, b = ins
    if not a.is_floating_point() and not b.is_floating_point():
        return torch.div(a, b, rounding_mode="trunc")
    return a / b


def _atan(ins: list[Value], _: dict[str, Any]) -> torch.Tensor:
    """Phase from a ratio: silence gives 0/0 here, where the original runtime has a rounding error instead."""
    return torch.atan(torch.nan_to_num(ins[0], nan=0.0, posinf=float("inf"), neginf=-float("inf")))


def _scatter_nd(ins: list[Value], _: dict[str, Any]) -> torch.Tensor:
    x, index, updates = ins
    out = x.clone()
    out[tuple(index.to(out.device).unbind(-1))] = updates.to(out.device)
    return out


def _skip_layer_norm(ins: list[Value], attrs: dict[str, Any]) -> torch.Tensor:
    x, skip, gamma, beta, bias = (*ins, None, None)[:5]
    total = x + skip + (bias if bias is not None else 0)
    return nnf.layer_norm(total, total.shape[-1:], gamma, beta, attrs.get("epsilon", 1e-12))


def _layer_norm(ins: list[Value], attrs: dict[str, Any]) -> torch.Tensor:
    x, gamma, beta = (*ins, None)[:3]
    axis = attrs.get("axis", -1) % x.ndim
    return nnf.layer_norm(x, x.shape[axis:], gamma, beta, attrs.get("epsilon", 1e-5))


def _fused_matmul(ins: list[Value], attrs: dict[str, Any]) -> torch.Tensor:
    a, b = ins
    if attrs.get("transA", 0):
        a = a.transpose(-1, -2)
    if attrs.get("transB", 0):
        b = b.transpose(-1, -2)
    return attrs.get("alpha", 1.0) * torch.matmul(a, b)


def _constant_of_shape(ins: list[Value], attrs: dict[str, Any]) -> torch.Tensor:
    value = numpy_helper.to_array(attrs["value"]) if "value" in attrs else np.zeros(1, np.float32)
    return torch.full(_ints(ins[0]), value.item(), dtype=torch.from_numpy(np.array(value)).dtype)


def _dequantise_linear(ins: list[Value], attrs: dict[str, Any]) -> torch.Tensor:
    x, scale, zero = (*ins, None)[:3]
    y = x.float()
    axis = attrs.get("axis", 1)
    if scale.ndim == 1 and scale.numel() > 1:
        shape = [1] * y.ndim
        shape[axis] = -1
        scale = scale.reshape(shape)
        zero = zero.reshape(shape) if zero is not None else None
    return (y - (zero.float() if zero is not None else 0)) * scale


def _clip(ins: list[Value], _: dict[str, Any]) -> torch.Tensor:
    low = ins[1] if len(ins) > 1 else None
    high = ins[2] if len(ins) > 2 else None
    return torch.clamp(ins[0], min=None if low is None else low.item(), max=None if high is None else high.item())


OPS: dict[str, Op] = {
    "Add": lambda i, a: i[0] + i[1],
    "Sub": lambda i, a: i[0] - i[1],
    "Mul": lambda i, a: i[0] * i[1],
    "Div": _div,
    "Pow": lambda i, a: torch.pow(i[0], i[1]),
    "Sqrt": lambda i, a: torch.sqrt(i[0]),
    "Sin": lambda i, a: torch.sin(i[0]),
    "Cos": lambda i, a: torch.cos(i[0]),
    "Exp": lambda i, a: torch.exp(i[0]),
    "Atan": _atan,
    "Tanh": lambda i, a: torch.tanh(i[0]),
    "Sigmoid": lambda i, a: torch.sigmoid(i[0]),
    "Floor": lambda i, a: torch.floor(i[0]),
    "Round": lambda i, a: torch.round(i[0]),
    "Cast": lambda i, a: i[0].to(_DTYPES[a["to"]]),
    "Clip": _clip,
    "Where": lambda i, a: torch.where(i[0], i[1], i[2]),
    "Equal": lambda i, a: i[0] == i[1],
    "Greater": lambda i, a: i[0] > i[1],
    "Less": lambda i, a: i[0] < i[1],
    "GreaterOrEqual": lambda i, a: i[0] >= i[1],
    "And": lambda i, a: torch.logical_and(i[0], i[1]),
    "Unsqueeze": _unsqueeze,
    "Squeeze": _squeeze,
    "Reshape": _reshape,
    "Gather": _gather,
    "Slice": _slice,
    "Transpose": lambda i, a: i[0].permute(list(a["perm"])),
    "Concat": lambda i, a: torch.cat(i, dim=a["axis"]),
    "Shape": lambda i, a: torch.tensor(list(i[0].shape)[a.get("start", 0) : a.get("end", None)], dtype=torch.int64),
    "Expand": lambda i, a: i[0].expand(torch.broadcast_shapes(i[0].shape, torch.Size(_ints(i[1])))),
    "ReduceMean": _reduce(torch.mean),
    "ReduceSum": _reduce(torch.sum),
    "Split": _split,
    "LeakyRelu": lambda i, a: nnf.leaky_relu(i[0], a.get("alpha", 0.01)),
    "MatMul": lambda i, a: torch.matmul(i[0], i[1]),
    "Softmax": lambda i, a: torch.softmax(i[0], dim=a.get("axis", -1)),
    "LayerNormalization": _layer_norm,
    "SkipLayerNormalization": _skip_layer_norm,
    "FastGelu": lambda i, a: nnf.gelu(i[0] if len(i) < 2 or i[1] is None else i[0] + i[1], approximate="tanh"),
    "FusedMatMul": _fused_matmul,
    "Conv": _conv,
    "ConvTranspose": _conv_transpose,
    "Resize": _resize,
    "Pad": _pad,
    "STFT": _stft,
    "CumSum": lambda i, a: torch.cumsum(i[0], dim=int(i[1])),
    "NonZero": lambda i, a: torch.nonzero(i[0]).T,
    "Range": lambda i, a: torch.arange(i[0].item(), i[1].item(), i[2].item()),
    "ScatterND": _scatter_nd,
    "ConstantOfShape": _constant_of_shape,
    "DequantizeLinear": _dequantise_linear,
    "DynamicQuantizeLinear": lambda i, a: (i[0], torch.tensor(1.0, device=i[0].device), torch.tensor(0.0)),
}
