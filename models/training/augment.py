"""Augmentation of a whole batch on the GPU: rooms, equaliser, masks, telephone, noise, babble, gain."""

from __future__ import annotations

import math
import random

import torch
import torch.nn.functional as F
from torch import Tensor

from program import BANDS, HOP, WINDOW, mel_filters

MOST_FRAMES = 1200
"""What the network takes: 12 s."""

LONGEST_QUIET_S = 0.9
"""Of the room around speech that a run-time window may hold: the endpointer's lead and hangover."""


def fast_size(samples: int) -> int:
    """The next length whose Fourier transform is fast and shared by many batches."""
    if samples < 65_536:
        return 1 << math.ceil(math.log2(samples))
    return (samples + 16_383) // 16_384 * 16_384


class Noises:
    """All noise recordings end to end on the device, and room responses of equal length."""

    def __init__(self, noise: Tensor, rooms: Tensor, generator: torch.Generator) -> None:
        self.noise, self.rooms, self.generator = noise, rooms, generator
        self.host = random.Random(generator.initial_seed())
        self.filters = torch.from_numpy(mel_filters()).to(noise.device)
        self.window = torch.hann_window(WINDOW, periodic=True, device=noise.device)

    def uniform(self, *shape: int, low: float = 0.0, high: float = 1.0) -> Tensor:
        return (
            torch.rand(shape, generator=self.generator, device=self.noise.device) * (high - low)
            + low
        )

    def normal(self, *shape: int) -> Tensor:
        return torch.randn(shape, generator=self.generator, device=self.noise.device)

    def chance(self, count: int, p: float) -> Tensor:
        return self.uniform(count) < p

    def room_responses(self, count: int, length: int) -> Tensor:
        """Half of them silent tails of exponentially decaying noise, a few measured ones, first sample 1."""
        time = torch.arange(length, device=self.noise.device) / 16_000
        rt60 = self.uniform(count, 1, low=0.08, high=0.7)
        tail = self.normal(count, length) * torch.exp(-6.9 * time / rt60)
        tail[:, :20] = 0
        tail = tail / tail.square().sum(1, keepdim=True).sqrt()
        ratio = self.uniform(count, 1, low=-16.0, high=4.0)  # tail to direct sound, dB
        response = tail * 10 ** (ratio / 20)
        response[:, 0] += 1.0
        measured = self.rooms[
            torch.randint(
                len(self.rooms), (count,), generator=self.generator, device=self.noise.device
            ),
            :length,
        ]
        keep = (self.uniform(count) < 0.15)[:, None]
        return torch.where(keep, measured, response)

    def filter_curves(self, count: int, bins: int) -> Tensor:
        """Gain of each element over frequency (count, bins): equaliser, mask low-pass, telephone."""
        device = self.noise.device
        hertz = torch.linspace(0, 8000, bins, device=device)
        place = (hertz / 8000).sqrt() * 7
        knots = self.normal(count, 9) * self.uniform(count, 1, high=6.0)
        low = place.long().clamp(max=7)
        weight = place - low
        db = knots[:, low] * (1 - weight) + knots[:, low + 1] * weight
        db = db * self.chance(count, 0.6)[:, None]
        corner = self.uniform(count, 1, low=700, high=4000)
        slope = self.uniform(count, 1, low=3, high=14)  # dB an octave
        octaves = (hertz[None] / corner).clamp(min=1.0).log2()
        db = db - octaves * slope * self.chance(count, 0.3)[:, None]
        narrow = self.chance(count, 0.24)[:, None] & (
            hertz[None] > self.uniform(count, 1, low=3300, high=4000)
        )
        high_pass = self.chance(count, 0.15)[:, None] & (
            hertz[None] < self.uniform(count, 1, low=80, high=350)
        )
        db = torch.where(narrow | high_pass, db - 50, db)
        return 10 ** (db / 20)

    def noise_segments(self, count: int, samples: int) -> Tensor:
        start = torch.randint(
            self.noise.numel() - samples,
            (count,),
            generator=self.generator,
            device=self.noise.device,
        )
        index = start[:, None] + torch.arange(samples, device=self.noise.device)
        return self.noise[index].float() / 32768

    def coloured(self, count: int, samples: int) -> Tensor:
        size = fast_size(samples)
        spectrum = torch.fft.rfft(self.normal(count, size))
        hertz = torch.linspace(1, 8000, spectrum.shape[1], device=self.noise.device)
        power = self.uniform(count, 1, low=0.0, high=1.2)
        return torch.fft.irfft(spectrum * hertz[None] ** -power, n=size)[:, :samples]

    def __call__(self, speech: Tensor, has_speech: Tensor) -> Tensor:
        """Dirty signals of clean ones (batch, samples); rows without speech become noise only."""
        batch, samples = speech.shape
        size = fast_size(samples + 8192)
        spectrum = torch.fft.rfft(speech, n=size)
        curve = self.filter_curves(batch, spectrum.shape[1])
        wet = self.chance(batch, 0.5)[:, None]
        room = torch.fft.rfft(self.room_responses(batch, 8192), n=size)
        spectrum = spectrum * curve * torch.where(wet, room, torch.ones((), device=speech.device))
        signal = torch.fft.irfft(spectrum, n=size)[:, :samples]
        loudness = signal.square().mean(1, keepdim=True).sqrt().clamp(min=1e-5)
        signal = signal / loudness
        real = self.noise_segments(batch, samples)
        real = real / real.square().mean(1, keepdim=True).sqrt().clamp(min=1e-5)
        steady = self.coloured(batch, samples)
        steady = steady / steady.square().mean(1, keepdim=True).sqrt().clamp(min=1e-5)
        babble = torch.zeros_like(signal)
        for _ in range(4):
            order = torch.randperm(batch, generator=self.generator, device=speech.device)
            shift = self.host.randrange(samples)
            babble = babble + signal[order].roll(shift, 1) * self.uniform(
                batch, 1, low=0.2, high=1.0
            )
        babble = babble / babble.square().mean(1, keepdim=True).sqrt().clamp(min=1e-5)
        pick = self.uniform(batch, 1)
        noise = torch.where(pick < 0.5, real, torch.where(pick < 0.78, steady, babble))
        mix = self.chance(batch, 0.2)[:, None]
        noise = torch.where(mix, 0.7 * noise + 0.7 * steady, noise)
        snr = torch.where(
            self.chance(batch, 0.48)[:, None],
            self.uniform(batch, 1, low=-3, high=13),
            self.uniform(batch, 1, low=8, high=55),
        )
        snr = torch.where(pick >= 0.78, snr.clamp(min=4), snr)  # louder babble would be the speech
        snr = torch.where(self.chance(batch, 0.15)[:, None], 120.0, snr)  # as good as none
        noise = noise * 10 ** (-snr / 20)
        mixed = torch.where(has_speech[:, None], signal + noise, noise)
        peak = mixed.abs().amax(1, keepdim=True).clamp(min=1e-6)
        level = 10 ** (self.uniform(batch, 1, low=-38, high=0) / 20)
        out = mixed / peak * level
        clip = self.chance(batch, 0.06)[:, None]
        out = torch.where(
            clip, (out * self.uniform(batch, 1, low=1.5, high=5) / level).clamp(-1, 1) * level, out
        )
        return (out * 32767).round() / 32768

    def window_only(self, signal: Tensor, spans: Tensor) -> Tensor:
        """The run-time window: on most rows silent but for `spans`, faint noise under everything."""
        batch, samples = signal.shape
        device = signal.device
        before = self.uniform(batch, 1, high=LONGEST_QUIET_S * 16_000)
        after = self.uniform(batch, 1, high=LONGEST_QUIET_S * 16_000)
        edge = 8000  # the run-time window is silent there
        place = torch.arange(samples, device=device)[None]
        inside = (place >= spans[:, :1] - before) & (place < spans[:, 1:] + after)
        inside = inside & (place >= edge - 1600) & (place < samples - edge + 1600)
        whole = self.chance(batch, 0.2)[:, None]
        signal = torch.where(inside | whole, signal, 0.0)
        loudest = signal.abs().amax(1, keepdim=True).clamp(min=1e-3)
        level = 10 ** (self.uniform(batch, 1, low=-50, high=-42) / 20)
        return signal + self.normal(batch, samples) * loudest * level

    def log_mel(self, signal: Tensor) -> Tensor:
        """The same features as features.log_mel, for a batch (batch, samples)."""
        spectrum = torch.stft(
            signal,
            WINDOW,
            HOP,
            WINDOW,
            self.window,
            center=True,
            pad_mode="reflect",
            return_complex=True,
        )
        power = spectrum[..., : signal.shape[1] // HOP].abs().square()
        mel = (self.filters @ power).clamp(min=1e-10).log10()
        mel = torch.maximum(mel, mel.amax((1, 2), keepdim=True) - 8.0)
        return (mel + 4.0) / 4.0

    def warp(self, mel: Tensor) -> Tensor:
        """Frequencies stretched by 0.86 to 1.16 on most rows: longer and shorter vocal tracts.

        After Jaitly and Hinton 2013 ("Vocal tract length perturbation"), without their kink above.
        """
        batch, bands, frames = mel.shape
        factor = self.uniform(batch, 1, low=math.log(0.86), high=math.log(1.16)).exp()
        factor = torch.where(self.chance(batch, 0.6)[:, None], factor, 1.0)
        hertz = self.filters @ torch.linspace(0, 8000, self.filters.shape[1], device=mel.device)
        hertz = hertz / self.filters.sum(1)
        wanted = (hertz[None] * factor).clamp(max=float(hertz[-1]), min=float(hertz[0]))
        above = torch.searchsorted(hertz, wanted.contiguous()).clamp(1, bands - 1)
        part = ((wanted - hertz[above - 1]) / (hertz[above] - hertz[above - 1])).clamp(0, 1)[
            ..., None
        ]
        index = above[..., None].expand(batch, bands, frames)
        return mel.gather(1, index - 1) * (1 - part) + mel.gather(1, index) * part

    def voiced_otherwise(self, mel: Tensor) -> Tensor:
        """Voices that do not exist: the whole batch faster or slower at the same pitch, and rows
        whose sounds run into each other, or are flatter or sharper than those of any voice."""
        batch, bands, frames = mel.shape
        if self.host.random() < 0.5:
            pace = math.exp(self.host.uniform(math.log(0.8), math.log(1.3)))
            wanted = min(MOST_FRAMES, max(50, round(frames / pace / 50) * 50))
            mel = F.interpolate(mel, size=wanted, mode="linear", align_corners=False)
        smooth_time = self._blurred(mel, 5)
        smooth_bands = self._blurred(mel.transpose(1, 2), 7).transpose(1, 2)
        share = self.uniform(batch, 1, 1) * self.chance(batch, 0.25)[:, None, None]
        mel = mel + share * (smooth_time - mel)
        sharper = self.uniform(batch, 1, 1, low=-0.7, high=0.5)
        sharper = sharper * self.chance(batch, 0.35)[:, None, None]
        return mel + sharper * (mel - smooth_bands)

    @staticmethod
    def _blurred(mel: Tensor, width: int) -> Tensor:
        """Each row's means over `width` neighbours along its last dimension."""
        padded = F.pad(mel, (width // 2, width // 2), mode="replicate")
        return F.avg_pool1d(padded, width, stride=1)

    def mask(self, mel: Tensor) -> Tensor:
        """A band and two short stretches set to the mean, on 60 % of the rows."""
        batch, bands, frames = mel.shape
        mean = mel.mean((1, 2), keepdim=True)
        on = self.chance(batch, 0.6)[:, None]
        band = torch.arange(bands, device=mel.device)[None]
        start = self.uniform(batch, 1, high=bands)
        hidden = on & (band >= start) & (band < start + self.uniform(batch, 1, high=14))
        mel = torch.where(hidden[:, :, None], mean, mel)
        frame = torch.arange(frames, device=mel.device)[None]
        for _ in range(2):
            start = self.uniform(batch, 1, high=frames)
            gone = on & (frame >= start) & (frame < start + self.uniform(batch, 1, high=10))
            mel = torch.where(gone[:, None, :], mean, mel)
        return mel


assert BANDS == 80
