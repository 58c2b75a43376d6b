"""Checks of the run-time code against other libraries: PyTorch's CTC loss and torch's STFT.

`features.log_mel` against torch.stft with the same filters (as augment.py uses it in training), and
`ctc.score_phrases` against torch.nn.functional.ctc_loss. Exits with a message where they differ.
"""

from __future__ import annotations

import numpy as np
import torch
import torch.nn.functional as F

from augment import Noises
from program import beam_search, encode, log_mel, score_phrases


def main() -> None:
    rng = np.random.default_rng(4)
    samples = (rng.standard_normal(32_000) * 0.1).astype(np.float32)
    silence = torch.zeros(1, dtype=torch.int16)
    other = Noises(silence, torch.zeros(1, 8192), torch.Generator())
    theirs = other.log_mel(torch.from_numpy(samples)[None])[0].numpy()
    worst = float(np.abs(theirs - log_mel(samples)).max())
    if worst > 1e-3:
        raise SystemExit(f"log_mel differs from torch.stft by {worst}")
    print("log_mel: largest difference", worst)
    logs = torch.from_numpy(rng.standard_normal((60, 29)).astype(np.float32) * 3).log_softmax(-1)
    phrases = ["yes", "fifteen", "fifty", "all off", "a", "see the bees"]
    for phrase, score in zip(phrases, score_phrases(logs.numpy(), phrases), strict=True):
        target = torch.tensor([encode(phrase)])
        loss = F.ctc_loss(
            logs[:, None], target, torch.tensor([60]), torch.tensor([target.shape[1]]),
            reduction="sum",
        )  # fmt: skip
        if abs(score + loss.item()) > 1e-3:
            raise SystemExit(f"{phrase}: {score} here, {-loss.item()} by torch")
    best = beam_search(logs.numpy(), 200, allowed=phrases)[0][0]
    if best != phrases[int(np.argmax(score_phrases(logs.numpy(), phrases)))]:
        raise SystemExit("the beam search and the scores disagree on the best phrase")
    print("score_phrases: equal to torch's CTC loss for", len(phrases), "phrases")


if __name__ == "__main__":
    main()
