"""Seeds that are the same on every machine and with any number of workers."""


def hash_seed(*numbers: int) -> int:
    """Return a seed from numbers, the same on every machine."""
    state = 0x9E3779B97F4A7C15
    for number in numbers:
        state ^= number + 0x9E3779B97F4A7C15 + ((state << 6) & (2**64 - 1)) + (state >> 2)
        state = (state * 0xBF58476D1CE4E5B9) & (2**64 - 1)
    return state >> 33
