"""What happens to a voice between mouth and file, done to whole batches: pace, room, wind, hives, engines, phones."""

from __future__ import annotations

import math

import torch
import torch.nn.functional as nnf

from whisper_torch import WINDOW

RATE = 16000


class Augment:
    """Random changes of waveforms.

    Args:
        device: where to work.
        seed: of its own random source, so that a run can be repeated.
        noisy: share of clips that get noise.
        empty: share of clips whose speech is taken away, leaving noise alone (their text is empty).
        loud: share of the noise that lies 1-15 dB under the speech; the rest lies 14-38 dB under it.
    """

    def __init__(self, device: str, seed: int, noisy: float = 0.75, empty: float = 0.08, loud: float = 0.65) -> None:
        self.device, self.noisy, self.empty, self.loud = device, noisy, empty, loud
        self.g = torch.Generator(device=device)
        self.g.manual_seed(seed)
        self.bank: torch.Tensor | None = None
        self.bank_size = 1024 if device.startswith("cuda") else 32
        self.host = torch.Generator()
        self.host.manual_seed(seed)
        self.t = torch.arange(WINDOW, device=device) / RATE
        self.window = WINDOW
        self.freqs = torch.fft.rfftfreq(WINDOW, 1 / RATE, device=device)

    def rand(self, *shape: int) -> torch.Tensor:
        """Uniform in 0..1."""
        return torch.rand(*shape, generator=self.g, device=self.device)

    def normal(self, *shape: int) -> torch.Tensor:
        """Standard normal."""
        return torch.randn(*shape, generator=self.g, device=self.device)

    def place(self, flat: torch.Tensor, at: list[int], n: list[int]) -> tuple[torch.Tensor, torch.Tensor]:
        """Cut clips out of one long tensor of 16-bit samples, each a little faster and shifted.

        The window is as long as the longest clip of the batch needs, and now and then longer, as the engine hears
        notes: it cuts the sound at the pauses and fills the features up to a whole number of seconds.

        Returns:
            windows (batch, samples), and for each the sample where the gate would have cut it off.
        """
        b = len(at)
        pace = 0.87 + 0.28 * torch.rand(b, generator=self.host)
        length = torch.tensor(n, dtype=torch.float32)
        step = torch.maximum(pace, length / (WINDOW - 800))
        edge = torch.rand(b, 2, generator=self.host)
        wide = torch.where(torch.rand(b, 2, generator=self.host) < 0.15, 2.0, 0.7) * RATE
        first = torch.minimum(edge[:, 0] * wide[:, 0], WINDOW - length / step)
        until = (first + length / step + edge[:, 1] * wide[:, 1] + 0.1 * RATE).clamp(max=WINDOW)
        spare, r = torch.rand(2, generator=self.host).tolist()
        need = float(until.max()) / RATE + (0.0 if r < 0.5 else 5 * spare)
        self.window = WINDOW if r > 0.95 else min(WINDOW, math.ceil(need) * RATE)
        length, step = length.to(self.device)[:, None], step.to(self.device)[:, None]
        position = (torch.arange(self.window, device=self.device)[None] - first.to(self.device)[:, None]) * step
        inside = (position >= 0) & (position < length - 2)
        left = torch.minimum(position.clamp(min=0), length - 2).long()
        part = position - left
        left += torch.tensor(at, device=self.device)[:, None]
        x = flat[left].float() * (1 - part) + flat[left + 1].float() * part
        return torch.where(inside, x, 0.0) / 32768, until.to(self.device)

    @staticmethod
    def cut(mel: torch.Tensor, until: torch.Tensor) -> torch.Tensor:
        """Features after the end of the sound are zeros, as the engine fills its window."""
        frame = torch.arange(mel.shape[2], device=mel.device)[None, None]
        return torch.where(frame < (until / 160 + 1)[:, None, None], mel, 0.0)

    def _envelope(self, b: int, hz: float, shape: float) -> torch.Tensor:
        """A slow random course over the window, around 1, as gusts have it."""
        points = max(4, int(30 * hz))
        e = self.rand(b, 1, points).clamp(min=1e-3).log().neg() ** shape
        return nnf.interpolate(e, WINDOW, mode="linear", align_corners=True)[:, 0]

    def _coloured(self, b: int, low: float, high: float) -> torch.Tensor:
        slope = low + (high - low) * self.rand(b, 1)
        f = torch.fft.rfft(self.normal(b, WINDOW)) * self.freqs.clamp(min=20)[None] ** (-slope / 2)
        return self._unit(torch.fft.irfft(f, WINDOW))

    @staticmethod
    def _unit(x: torch.Tensor) -> torch.Tensor:
        return x / x.pow(2).mean(1, keepdim=True).sqrt().clamp(min=1e-6)

    def _harmonics(self, f0: torch.Tensor, count: int, rolloff: float) -> torch.Tensor:
        b = f0.shape[0]
        drift = nnf.interpolate(self.normal(b, 1, 60), WINDOW, mode="linear", align_corners=True)[:, 0]
        phase = 2 * math.pi * torch.cumsum(f0 * (1 + 0.01 * drift), 1) / RATE
        out = torch.zeros(b, WINDOW, device=self.device)
        for k in range(1, count + 1):
            out += torch.sin(k * phase + 6.3 * self.rand(b, 1)) * self.rand(b, 1) / k**rolloff
        return self._unit(out)

    def noise(self, b: int) -> torch.Tensor:
        """Yard noise of unit level for b windows, two draws from a bank of blends, turned round by random offsets."""
        if self.bank is None:
            self.bank = torch.cat([self._blend(32).half() for _ in range(self.bank_size // 32)])
        out = torch.zeros(b, self.window, device=self.device)
        for share in (1.0, 0.5):
            pick = torch.randint(len(self.bank), (b, 1), generator=self.g, device=self.device)
            turn = torch.randint(WINDOW, (b, 1), generator=self.g, device=self.device)
            column = (torch.arange(self.window, device=self.device)[None] + turn) % WINDOW
            weight = share if share == 1.0 else share * (self.rand(b, 1) < 0.4)
            out += self.bank[pick, column].float() * weight
        return self._unit(out)

    def _blend(self, b: int) -> torch.Tensor:
        """A random blend of wind, hiss, hive hum, an engine and bumps, at unit level."""
        weights = self.rand(b, 5) ** 2 * (
            self.rand(b, 5) < torch.tensor([0.6, 0.5, 0.45, 0.25, 0.25], device=self.device)
        )
        weights[:, 1] += 0.1 + (weights.sum(1) < 0.05) * 0.5
        wind = self._unit(self._coloured(b, 1.2, 3.0) * (0.1 + self._envelope(b, 1.5, 1.3)))
        hiss = self._unit(self._coloured(b, -0.3, 1.0) * (0.4 + 0.4 * self._envelope(b, 0.4, 0.7)))
        hive = sum(self._harmonics(170 + 110 * self.rand(b, 1), 6, 0.9) for _ in range(2))
        hum = self._unit(self._unit(hive) * (0.7 + 0.3 * self._envelope(b, 6, 0.5)))
        engine = self._unit(self._harmonics(22 + 75 * self.rand(b, 1), 14, 0.5) + 0.7 * self._coloured(b, 0.8, 1.6))
        impulses = (self.rand(b, WINDOW) < 1.2 / RATE).float() * self.normal(b, WINDOW)
        decay = torch.exp(-self.t[:3200] * 60) * torch.sin(2 * math.pi * self.t[:3200] * 110)
        bumps = torch.fft.irfft(torch.fft.rfft(impulses) * torch.fft.rfft(decay, WINDOW), WINDOW)
        blend = sum(
            weights[:, k, None] * part for k, part in enumerate([wind, hiss, hum, engine, self._unit(bumps + 1e-6)])
        )
        return self._unit(blend)

    def colour(self, x: torch.Tensor) -> torch.Tensor:
        """A random smooth equaliser, sometimes a phone's band, a dull or a thin microphone, or a little room."""
        b, freqs = x.shape[0], torch.fft.rfftfreq(x.shape[1], 1 / RATE, device=self.device)
        curve = nnf.interpolate(self.normal(b, 1, 12) * 4, freqs.numel(), mode="linear", align_corners=True)[:, 0]
        gain = 10 ** (curve / 20)
        r = self.rand(b, 1)
        cut_low = torch.where(
            r < 0.12, torch.full_like(r, 300.0), torch.where(r < 0.3, 50 + 200 * self.rand(b, 1), r * 0)
        )
        cut_high = torch.where(
            r < 0.12,
            torch.full_like(r, 3400.0),
            torch.where(self.rand(b, 1) < 0.25, 3000 + 4500 * self.rand(b, 1), r * 0 + 9000),
        )
        gain = gain / (1 + (cut_low / freqs.clamp(min=1)[None]) ** 8) / (1 + (freqs[None] / cut_high) ** 12)
        spectrum = torch.fft.rfft(x) * gain
        length = 4800
        tail = self.normal(b, length) * torch.exp(-self.t[:length] * (15 + 60 * self.rand(b, 1)))
        wet = (self.rand(b, 1) < 0.2) * self.rand(b, 1) * 0.5
        room = tail / tail.norm(dim=1, keepdim=True) * wet
        room[:, 0] = 1.0
        return torch.fft.irfft(spectrum * torch.fft.rfft(room, x.shape[1]), x.shape[1])

    def __call__(self, x: torch.Tensor) -> tuple[torch.Tensor, torch.Tensor]:
        """Changed windows, and which of them hold no speech any more."""
        b = x.shape[0]
        x = self.colour(x)
        active = x.abs() > 0.02 * x.abs().amax(1, keepdim=True)
        level = ((x**2 * active).sum(1, keepdim=True) / active.sum(1, keepdim=True).clamp(min=1)).sqrt().clamp(min=1e-4)
        low = self.rand(b, 1) < self.loud
        snr = torch.where(low, 1 + 14 * self.rand(b, 1), 14 + 24 * self.rand(b, 1))
        amount = 10 ** (-snr / 20) * (self.rand(b, 1) < self.noisy)
        empty = self.rand(b) < self.empty
        noise = self.noise(b)
        x = torch.where(empty[:, None], x * 0, x) + noise * level * torch.where(empty[:, None], self.rand(b, 1), amount)
        drive = torch.where(self.rand(b, 1) < 0.08, 2 + 6 * self.rand(b, 1), torch.ones(b, 1, device=self.device))
        peak = x.abs().amax(1, keepdim=True).clamp(min=1e-5)
        x = torch.where(drive > 1, torch.tanh(drive * x / peak), x / peak)
        return x * (0.15 + 0.8 * self.rand(b, 1)), empty

    def mask(self, mel: torch.Tensor) -> torch.Tensor:
        """Blank a band of the features in half of the clips."""
        b, bands = mel.shape[0], torch.arange(80, device=self.device)[None]
        width = 1 + 9 * self.rand(b, 1)
        start = self.rand(b, 1) * (80 - width)
        blank = (bands >= start) & (bands < start + width) & (self.rand(b, 1) < 0.5)
        return torch.where(blank[..., None], mel.mean((1, 2), keepdim=True), mel)
