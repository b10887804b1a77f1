"""The base engine's network (speech encoder, text decoder) in plain PyTorch, with low-rank additions."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import torch
import torch.nn.functional as nnf

WIDTH, HEADS, LAYERS, WINDOW, FRAMES = 384, 6, 4, 480000, 3000


class Base:
    """The frozen weights, by the names that the engine's file uses."""

    def __init__(self, packed: Path, device: str) -> None:
        z = np.load(packed)
        self.w = {
            k: torch.from_numpy(z[k].astype(np.float32)).to(device) for k in z.files if not k.startswith("embedding_")
        }
        scale = torch.from_numpy(z["embedding_scale"]).to(device)
        self.embedding = torch.from_numpy(z["embedding_int8"]).to(device).float() * scale[:, None]
        self.mel = self.w.pop("mel_filters")
        self.window = torch.hann_window(400, device=device)
        self.device = device

    def log_mel(self, samples: torch.Tensor) -> torch.Tensor:
        """Log-mel features (batch, 80, 3000) of samples (batch, 480000), as the engine computes them."""
        power = torch.stft(samples, 400, 160, window=self.window, return_complex=True)[..., :-1].abs() ** 2
        mel = torch.log10((self.mel @ power).clamp(min=1e-10))
        mel = torch.maximum(mel, mel.amax((1, 2), keepdim=True) - 8)
        return (mel + 4) / 4


class Adapter(torch.nn.Module):
    """Low-rank additions B·A to the decoder's matrices and, with a rank of their own, to the encoder's.

    B starts at zero, so an untrained adapter changes nothing.
    """

    def __init__(self, base: Base, decoder_rank: int, encoder_rank: int, dropout: float = 0.0) -> None:
        super().__init__()
        self.a, self.b = torch.nn.ParameterDict(), torch.nn.ParameterDict()
        self.dropout = dropout
        for name, weight in base.w.items():
            if not name.endswith("/weight") or weight.ndim != 2 or "embeddings" in name or "conv" in name:
                continue
            rank = decoder_rank if name.startswith("decoder") else encoder_rank
            if rank:
                key = name.replace("/", "|")
                rows, columns = weight.shape
                self.a[key] = torch.nn.Parameter(torch.randn(rank, columns, device=base.device) / math.sqrt(columns))
                self.b[key] = torch.nn.Parameter(torch.zeros(rows, rank, device=base.device))

    def arrays(self) -> dict[str, np.ndarray]:
        """The adapter as float16 arrays ``A|name`` and ``B|name``, as the runtime reads them."""
        out = {f"A|{k}": v.detach().half().cpu().numpy() for k, v in self.a.items()}
        return out | {f"B|{k}": v.detach().half().cpu().numpy() for k, v in self.b.items()}

    @torch.no_grad()
    def load(self, arrays: dict[str, np.ndarray]) -> None:
        """Set the values from float pairs of this rank or a lower one; the ranks above it stay without effect."""
        for k in self.a:
            if f"A|{k}" in arrays:
                wide, tall = torch.from_numpy(arrays[f"A|{k}"]), torch.from_numpy(arrays[f"B|{k}"])
                self.a[k][: len(wide)] = wide.float()
                self.b[k][:, : len(wide)] = tall.float()


class Net:
    """Forward passes through base and adapter. With ``adapter=None`` the base alone answers."""

    def __init__(self, base: Base, adapter: Adapter | None) -> None:
        self.base, self.w, self.adapter = base, base.w, adapter

    def _linear(self, x: torch.Tensor, name: str) -> torch.Tensor:
        y = nnf.linear(x, self.w[f"{name}/weight"], self.w[f"{name}/bias"])
        key = f"{name}/weight".replace("/", "|")
        if self.adapter is not None and key in self.adapter.a:
            low = nnf.linear(x, self.adapter.a[key])
            if self.adapter.dropout and self.adapter.training:
                low = nnf.dropout(low, self.adapter.dropout)
            y = y + nnf.linear(low, self.adapter.b[key])
        return y

    def _norm(self, x: torch.Tensor, name: str) -> torch.Tensor:
        return nnf.layer_norm(x, (WIDTH,), self.w[f"{name}/gamma"], self.w[f"{name}/beta"], 1e-5)

    @staticmethod
    def _attend(q: torch.Tensor, k: torch.Tensor, v: torch.Tensor, causal: bool = False) -> torch.Tensor:
        def heads(x: torch.Tensor) -> torch.Tensor:
            return x.view(*x.shape[:2], HEADS, WIDTH // HEADS).transpose(1, 2)

        out = nnf.scaled_dot_product_attention(heads(q), heads(k), heads(v), is_causal=causal)
        return out.transpose(1, 2).reshape(q.shape)

    def encode(self, mel: torch.Tensor) -> torch.Tensor:
        """Encoder output (batch, 1500, 384) of features (batch, 80, 3000)."""
        w = self.w
        x = nnf.gelu(nnf.conv1d(mel, w["encoder/conv1/weight"], w["encoder/conv1/bias"], padding=1))
        x = nnf.gelu(nnf.conv1d(x, w["encoder/conv2/weight"], w["encoder/conv2/bias"], stride=2, padding=1))
        x = x.transpose(1, 2)
        x = x + w["encoder/position_encodings/encodings"][: x.shape[1]]
        for i in range(LAYERS):
            p = f"encoder/layer_{i}"
            q, k, v = self._linear(
                self._norm(x, f"{p}/self_attention/layer_norm"), f"{p}/self_attention/linear_0"
            ).chunk(3, -1)
            x = x + self._linear(self._attend(q, k, v), f"{p}/self_attention/linear_1")
            y = nnf.gelu(self._linear(self._norm(x, f"{p}/ffn/layer_norm"), f"{p}/ffn/linear_0"))
            x = x + self._linear(y, f"{p}/ffn/linear_1")
        return self._norm(x, "encoder/layer_norm")

    def decode(self, tokens: torch.Tensor, encoded: torch.Tensor) -> torch.Tensor:
        """Last hidden states (batch, length, 384) for tokens (batch, length); times the embedding they are logits."""
        w = self.w
        x = self.base.embedding[tokens] + w["decoder/position_encodings/encodings"][: tokens.shape[1]]
        for i in range(LAYERS):
            p = f"decoder/layer_{i}"
            q, k, v = self._linear(
                self._norm(x, f"{p}/self_attention/layer_norm"), f"{p}/self_attention/linear_0"
            ).chunk(3, -1)
            x = x + self._linear(self._attend(q, k, v, causal=True), f"{p}/self_attention/linear_1")
            q = self._linear(self._norm(x, f"{p}/attention/layer_norm"), f"{p}/attention/linear_0")
            k, v = self._linear(encoded, f"{p}/attention/linear_1").chunk(2, -1)
            x = x + self._linear(self._attend(q, k, v), f"{p}/attention/linear_2")
            y = nnf.gelu(self._linear(self._norm(x, f"{p}/ffn/layer_norm"), f"{p}/ffn/linear_0"))
            x = x + self._linear(y, f"{p}/ffn/linear_1")
        return self._norm(x, "decoder/layer_norm")

    @torch.no_grad()
    def greedy(
        self, encoded: torch.Tensor, start: list[int], end: int, quiet: torch.Tensor, longest: int = 110
    ) -> list[list[int]]:
        """The likeliest next token, again and again: quick transcripts to compare training runs by.

        ``quiet`` (1, tokens) is added to the scores: the tokens that the engine never writes.
        """
        batch = encoded.shape[0]
        tokens = torch.tensor([start] * batch, device=encoded.device)
        done = torch.zeros(batch, dtype=torch.bool, device=encoded.device)
        for _ in range(longest):
            logits = self.decode(tokens, encoded)[:, -1].float() @ self.base.embedding.T + quiet
            logits[:, end + 1 :] = -1e9  # time stamps and other markers
            nxt = logits.argmax(-1).masked_fill(done, end)
            done |= nxt == end
            tokens = torch.cat([tokens, nxt[:, None]], 1)
            if bool(done.all()):
                break
        return [[t for t in row[len(start) :] if t < end] for row in tokens.tolist()]
