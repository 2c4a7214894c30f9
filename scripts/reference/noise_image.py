"""The picture of noise that both sides make from a seed (noiseImage in src/numeric/test-images.ts)."""
import numpy as np


def noise(width, height, seed=1):
    values = np.empty(width * height, np.float32)
    state = seed
    for i in range(values.size):
        state = (state * 1664525 + 1013904223) % 2**32
        values[i] = (state >> 8) / 16777216
    return values.reshape(height, width)
